import { defineConfig } from 'vitest/config';
import { LongestFirst, together } from './vitest.config.js';

/** What takes long: proofs, and tests whose size `sized` tells, in full. */
export default defineConfig({
    test: {
        ...together,
        name: 'proof',
        maxWorkers: 2,
        include: ['tests/**/*.proof.ts', 'tests/**/*.sized.test.ts'],
        env: { PROOF: 'yes' },
        sequence: { sequencer: LongestFirst },
    },
});
