import { spawnSync } from 'node:child_process';
import {
    cpSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    realpathSync,
    rmSync,
    symlinkSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import { packageRoot } from '../src/packageRoot.js';
import { unpack } from './support/packed.js';
import { fewCars, seasonCsv } from './support/shipped.js';

/** The recipes of DEVELOPERS.md, walked as they are written in a copy of the checkout, and run on a database made before. */

const root = packageRoot();
let scratch: string;
let shop: string;

const copied = ['src', 'sql', 'reports', 'scripts', 'shared', 'docs', 'fixtures', 'tests', 'bench'];
const singles = [
    'package.json',
    'package-lock.json',
    'tsconfig.json',
    'vitest.config.ts',
    'vitest.proof.config.ts',
];
const read = ['README.md', 'DEVELOPERS.md', 'CONTRIBUTING.md', 'CHANGELOG.md', 'LICENSE'];

/** The checkout as it stands, with its packages linked. */
function copyCheckout(): void {
    for (const name of [...copied, ...singles, ...read])
        cpSync(join(root, name), join(scratch, name), { recursive: true });
    // Linked one by one: builds keep files of their own in node_modules/.cache.
    mkdirSync(join(scratch, 'node_modules'));
    for (const name of readdirSync(join(root, 'node_modules')).filter((name) => name !== '.cache')) {
        symlinkSync(join(root, 'node_modules', name), join(scratch, 'node_modules', name));
    }
}

function run(command: string, words: readonly string[], cwd: string): string {
    const { status, stdout, stderr } = spawnSync(command, words, { cwd, encoding: 'utf8', maxBuffer: 1e9 });
    if (status !== 0 && status !== 3) throw new Error(`${command} ${words.join(' ')}: ${stdout}${stderr}`);
    return stdout;
}

const strutmark = (...words: string[]) =>
    run(process.execPath, [join(scratch, 'dist/src/cli/main.js'), ...words], shop);
const answer = (...words: string[]) =>
    z
        .object({ command: z.string(), rows: z.array(z.record(z.string(), z.unknown())) })
        .parse(JSON.parse(strutmark('--json', ...words)));

function add(file: string, text: string): void {
    mkdirSync(dirname(join(scratch, file)), { recursive: true });
    writeFileSync(join(scratch, file), text, { flag: 'wx' });
}

function edit(file: string, line: string, withMore: string): void {
    const path = join(scratch, file);
    const text = readFileSync(path, 'utf8');
    expect(text.split(line), `${file}: ${line}`).toHaveLength(2);
    writeFileSync(
        path,
        text.replace(line, () => withMore),
    );
}

beforeAll(() => {
    scratch = realpathSync(mkdtempSync(join(tmpdir(), 'recipes-')));
    shop = join(scratch, 'shop');
    copyCheckout();
    mkdirSync(shop);
    for (const name of ['kits', 'targets', 'readings']) {
        writeFileSync(join(shop, `${name}.csv`), seasonCsv(name, fewCars));
    }
    // The database of the version before.
    const before = unpack(join(scratch, 'before'));
    run(process.execPath, [before, 'load', 'kits.csv', 'targets.csv', 'readings.csv'], shop);
    run(process.execPath, [before, 'forget', 'readings.csv:2', '--because', 'walked'], shop);
});
afterAll(() => rmSync(scratch, { recursive: true }));

/** A column: `src/contracts`, then `npm run shared`. */
function addColumn(): void {
    edit(
        'src/contracts/readings.ts',
        "        tyre_kpa: optional(number('tyre pressure', 'kPa', [0, 1000])),\n",
        `        tyre_kpa: optional(number('tyre pressure', 'kPa', [0, 1000])),
        washer_l: optional(number('water in the washer tank', 'l', [0, 200])),
`,
    );
}

function addModel(): void {
    add(
        'sql/readings/washer_levels.sql',
        `-- title: Washer in the tank by chassis
-- grain: one row per chassis
-- source: readings
-- missing: mean_washer_l is NULL where no reading of the chassis tells the washer
-- column chassis VARCHAR: platform code
-- column reading_count BIGINT: readings that tell the washer tank
-- column mean_washer_l DOUBLE [l]: mean of these readings
select
    chassis,
    count(washer_l) as reading_count,
    avg(washer_l) as mean_washer_l
from readings
group by chassis
`,
    );
}

function addCheck(): void {
    add(
        'sql/checks/empty_tank.sql',
        `-- title: Cars measured with an empty tank
-- likely: 0 written where the washer tank was not looked at
-- mend: leave washer_l blank, and load the row with --replace
-- p_mistake is 1: here no washer tank is empty.
select
    chassis,
    vehicle,
    corner,
    visit,
    format('washer_l is {}', washer_l) as finding,
    cast(1 as double) as p_mistake,
    source_file,
    source_line
from readings
where washer_l = 0
`,
    );
}

function addCommand(): void {
    add(
        'src/contracts/results/washer.ts',
        `import { z } from 'zod';
import { chassisCode, count, estimate, result } from './result.js';

export const washerRow = z.object({
    chassis: chassisCode,
    reading_count: count.describe('readings that tell the washer tank'),
    mean_washer_l: estimate,
});

export type WasherRow = z.infer<typeof washerRow>;
export const washerResult = result('washer', washerRow);
`,
    );
    add(
        'src/model/washer.ts',
        `import { washerRow } from '../contracts/results/washer.js';
import type { Database } from '../db/database.js';

export const washerNeeds = ['washer_levels'];

/** Washer in the tank by chassis, in litres. */
export const washer = (db: Database) =>
    db.rows(washerRow, 'select chassis, reading_count, mean_washer_l from washer_levels order by chassis');
`,
    );
    add(
        'src/cli/commands/washer.ts',
        `import type { CommandModule } from '../command.js';

export default {
    describe: 'how full the tanks were',
    example: 'washer',
    build(command, context) {
        command.action(async () => {
            const { withModel } = await import('../withModel.js');
            const rows = await withModel(context, async () => {
                const { washer, washerNeeds } = await import('../../model/washer.js');
                return { needs: washerNeeds, ask: washer };
            });
            await context.output.result(
                rows,
                [],
                [
                    { title: 'chassis', value: 'chassis' },
                    { title: 'readings', value: 'reading_count', digits: 0 },
                    { title: 'mean l', value: 'mean_washer_l', digits: 1 },
                ],
            );
        });
    },
} satisfies CommandModule;
`,
    );
    edit(
        'src/cli/program.ts',
        "import gauges from './commands/gauges.js';\n",
        "import washer from './commands/washer.js';\nimport gauges from './commands/gauges.js';\n",
    );
    edit('src/cli/program.ts', '    slopes,\n    gauges,\n', '    slopes,\n    washer,\n    gauges,\n');
}

function addPage(): void {
    add(
        'reports/washer/levels.sql',
        `-- One row per chassis.
select
    chassis,
    mean_washer_l
from washer_levels
order by chassis
`,
    );
    add(
        'reports/washer/report.ts',
        `import { z } from 'zod';
import { type Chart, table } from '../../src/report/blocks.js';
import { defineReport } from '../../src/report/defineReport.js';

const levels = z.object({ chassis: z.string(), mean_washer_l: z.number().nullable() });
type Level = z.infer<typeof levels>;

const byChassis = (rows: readonly Level[]) =>
    table('Mean in the washer tank', rows, [
        { title: 'chassis', value: (row) => row.chassis },
        { title: 'mean, l', value: (row) => row.mean_washer_l, digits: 1 },
    ]);

const drawn = (levels: readonly Level[]): Chart => ({
    kind: 'chart',
    title: 'Mean in the washer tank by chassis',
    alt: 'A bar for each chassis, as long as the mean in its washer tanks.',
    spec: {
        height: 120,
        layer: [
            {
                data: { name: 'levels' },
                mark: 'bar',
                encoding: {
                    y: { field: 'chassis', type: 'nominal', title: null },
                    x: { field: 'mean_washer_l', type: 'quantitative', title: 'l' },
                },
            },
        ],
    },
    data: { levels },
    table: byChassis(levels),
});

export default defineReport({
    title: 'Washer',
    question: 'How full were the tanks?',
    group: 'team',
    rows: { levels },
    headline: ({ levels }) => \`The tanks of \${levels.length} chassis\`,
    picture: ({ levels }) => [drawn(levels)],
    answer: () => ['Fill them.'],
    findings: ({ levels }) => [
        { text: \`\${levels.filter((row) => row.mean_washer_l !== null).length} chassis tell their washer tank.\` },
    ],
    sections: ({ levels }) => [
        {
            title: 'By chassis',
            blocks: [
                byChassis(levels),
            ],
        },
    ],
    method: [{ term: 'Mean', text: 'Of the readings that tell the washer tank.' }],
});
`,
    );
}

/** Rows that the tests of all pages fill it with. */
function addRowsOfPage(): void {
    add(
        'tests/support/pages/washer.ts',
        `import { modelOf } from '../memory.js';

const reading = {
    vehicle: 'A',
    chassis: 'X',
    corner: 'FL',
    measured_at: '2026-01-01',
    visit: 'v',
    visit_kind: 'check',
    phase: 'before',
    camber_deg: -1,
};

export default () => modelOf({ readings: [{ ...reading, washer_l: 30 }, { ...reading, vehicle: 'B', chassis: 'Y' }] });
`,
    );
}

/** Stored rows with their washer tank, every tenth tank empty; the first row is voided. */
function rowsWithWasher(): number[] {
    const [header, , ...rows] = readFileSync(join(shop, 'readings.csv'), 'utf8').trimEnd().split('\n');
    const some = rows.filter((row) => row.split(',')[1] === 'OTTER').slice(0, 40);
    const withWasher = some.map((row, i) => `${row},${i % 10}`);
    writeFileSync(join(shop, 'washer.csv'), [`${header},washer_l`, ...withWasher, ''].join('\n'));
    return some.map((_, i) => i % 10);
}

test('a column, a model, a check, a command and a page, on a database made before them', () => {
    addColumn();
    addModel();
    addCheck();
    addCommand();
    addPage();
    addRowsOfPage();
    for (const script of ['shared', 'graph', 'build']) run('npm', ['run', script], scratch);
    // The tests that were there before know nothing of what was added.
    const include = ['src', 'reports', 'tests/support/pages'];
    add('tsconfig.added.json', JSON.stringify({ extends: './tsconfig.json', include }));
    run('npx', ['tsc', '-p', 'tsconfig.added.json'], scratch);

    const litres = rowsWithWasher();
    expect(answer('load', '--replace', 'washer.csv').rows).toMatchObject([
        { loaded_count: litres.length, rejected_count: 0, replaced_count: litres.length },
    ]);
    const mean = litres.reduce((sum, litre) => sum + litre, 0) / litres.length;
    const { rows } = answer('washer');
    expect(rows.length).toBeGreaterThan(1);
    for (const row of rows) {
        const told = row.chassis === 'OTTER';
        expect(row).toMatchObject({
            reading_count: told ? litres.length : 0,
            mean_washer_l: told ? expect.closeTo(mean, 9) : null,
        });
    }
    const found = answer('check').rows.filter((row) => row.check === 'empty_tank');
    expect(found).toHaveLength(litres.filter((litre) => litre === 0).length);
    strutmark('report', 'washer', '--out', 'pages');
    expect(readFileSync(join(shop, 'pages', 'washer.html'), 'utf8')).toContain(
        '1 chassis tell their washer tank.',
    );
    strutmark('export', 'washer_levels', '--to', 'levels.csv');
    expect(readFileSync(join(shop, 'levels.csv'), 'utf8')).toMatch(/^chassis,reading_count,mean_washer_l\n/);
    // Rows that were taken out before the column was there come back.
    strutmark('forget', '--bring-back', '1');
    strutmark('export', 'readings', '--to', 'readings-now.csv');
    expect(readFileSync(join(shop, 'readings-now.csv'), 'utf8').split('\n')[0]).toContain(',washer_l,');
});

test('what the guide adds passes the tests that guard the house', () => {
    const guards = [
        'arrows',
        'hints',
        'shared',
        'check/registry',
        'load/contract',
        'model/dependencies',
        'model/needs',
    ].map((name) => `tests/${name}.test.ts`);
    const vitest = (...words: string[]) => run('npx', ['vitest', 'run', '--maxWorkers=1', ...words], scratch);
    // Of the contract only the kind of file that gained the column.
    vitest('-t', '^(?!the checks of (?!readings ))', ...guards);
    vitest('-t', 'page washer ', '--config', 'vitest.proof.config.ts', 'tests/report/page.proof.ts');
});
