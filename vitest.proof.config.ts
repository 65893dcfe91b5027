import { mergeConfig } from 'vitest/config';
import tests from './vitest.config.js';

/** What takes long: proofs, and tests whose size `sized` tells, in full. */
export default mergeConfig(
    { ...tests, test: { ...tests.test, include: [] } },
    { test: { include: ['tests/**/*.proof.ts', 'tests/**/*.sized.test.ts'], env: { PROOF: 'yes' } } },
);
