import { defineConfig } from 'vitest/config';

export default defineConfig({
    test: {
        include: ['tests/**/*.test.ts'],
        globalSetup: ['tests/support/globalSetup.ts'],
        // Only for what hangs: how busy the machine is decides nothing.
        testTimeout: 1_800_000,
        hookTimeout: 1_800_000,
        pool: 'forks',
        maxWorkers: 2,
    },
});
