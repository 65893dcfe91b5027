import { defineConfig } from 'vitest/config';

export default defineConfig({
    test: {
        include: ['tests/**/*.test.ts'],
        globalSetup: ['tests/support/globalSetup.ts'],
        testTimeout: 600_000,
        hookTimeout: 600_000,
        pool: 'forks',
        maxWorkers: 2,
    },
});
