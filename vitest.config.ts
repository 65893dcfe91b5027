import { defineConfig } from 'vitest/config';

/** Tests that put modules in the place of others, or look at which are loaded: each in a process of its own. */
const apart = [
    'tests/door/readOnly.test.ts',
    'tests/model/marks.test.ts',
    'tests/stats/sqlFunctions.test.ts',
];

const shared = defineConfig({
    test: {
        include: ['tests/**/*.test.ts'],
        globalSetup: ['tests/support/globalSetup.ts'],
        // Only for what hangs: how busy the machine is decides nothing.
        testTimeout: 1_800_000,
        hookTimeout: 1_800_000,
        pool: 'forks',
    },
}).test!;

/** The others follow each other in two processes: to read DuckDB, zod and Vega anew for each file takes as long as many a test. */
export const together = { ...shared, name: 'together', isolate: false, exclude: apart };

export default defineConfig({
    test: {
        maxWorkers: 2,
        projects: [
            { test: together },
            { test: { ...shared, name: 'apart', include: apart, sequence: { groupOrder: 1 } } },
        ],
    },
});
