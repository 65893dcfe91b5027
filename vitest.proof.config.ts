import { defineConfig } from 'vitest/config';
import { LongestFirst, together } from './vitest.config.js';

/** What takes long: proofs, and tests whose size `sized` tells, in full. */
export default defineConfig({
    test: {
        ...together,
        name: 'proof',
        // One more than the cores it is meant for: many a proof waits for a process, a browser or a kill.
        maxWorkers: 3,
        include: ['tests/**/*.proof.ts', 'tests/**/*.sized.test.ts'],
        env: { PROOF: 'yes' },
        sequence: { sequencer: LongestFirst },
    },
});
