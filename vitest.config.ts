import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** What takes longest, dearest first: begun last, one of them would leave a core idle. */
const longest = [
    'shipped',
    'report/page',
    'recipes',
    'model/measuredAngles',
    'model/range',
    'report/longNames',
    'sheet/visit',
    'library',
    'door/kill',
    'report/large',
    'share/pooled',
    'sheet/agrees',
    'tutorial',
    'report/range',
    'model/unevenGauges',
    'report/markup',
    'questions',
    'door/fullDisk',
    'model/record',
    'load/fuzz',
    'model/clusters',
    'model/askedFirst',
    'load/load',
];

const place = ({ moduleId }: TestSpecification) => {
    const at = longest.findIndex((name) =>
        moduleId.replace(/\.((sized\.)?test|proof)\.ts$/, '').endsWith(`tests/${name}`),
    );
    return at < 0 ? longest.length : at;
};

export class LongestFirst extends BaseSequencer {
    override async sort(files: TestSpecification[]) {
        return (await super.sort(files)).sort((one, other) => place(one) - place(other));
    }
}

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
        sequence: { sequencer: LongestFirst },
        projects: [
            { test: together },
            { test: { ...shared, name: 'apart', include: apart, sequence: { groupOrder: 1 } } },
        ],
    },
});
