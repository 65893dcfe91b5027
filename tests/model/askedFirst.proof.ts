import { copyFileSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { kinds } from '../../src/contracts/kinds.js';
import { identifier } from '../../src/db/database.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { checks } from '../../src/model/checks.js';
import { calledBy, groundsOf, neededFor } from '../../src/model/dependencies.js';
import { openModel } from '../../src/model/openModel.js';
import { modelFiles, questionFiles } from '../../src/model/sqlFile.js';
import { choiceParameters } from '../../src/report/choice.js';
import { listReports, reportQueries } from '../../src/report/registry.js';
import { inProcess } from '../support/inProcess.js';
import { fewCars, seasonCsv } from '../support/shipped.js';

/** Whatever is asked first of a database is answered: all that the answer calls is there. */

const folder = mkdtempSync(join(tmpdir(), 'asked-first-'));
const loaded = join(folder, 'loaded.duckdb');
const built = join(folder, 'built.duckdb');

beforeAll(async () => {
    // A few cars: to plan the tables costs time here, not to fill them.
    const files = ['kits', 'targets', 'sessions', 'shafts', 'hardware', 'readings'].map((name) => {
        const file = join(folder, `${name}.csv`);
        writeFileSync(file, seasonCsv(name, fewCars));
        return file;
    });
    await loadFiles(files, loaded);
    copyFileSync(loaded, built);
    (await openModel(built)).close();
});
afterAll(() => rmSync(folder, { recursive: true }));

async function readTable(file: string, table: string): Promise<void> {
    const db = await openModel(file, { needs: [table] });
    try {
        await db.run(`select * from ${identifier(table)} limit 1`);
    } catch (error) {
        throw new Error(`${table}: ${(error as Error).message}`);
    } finally {
        db.close();
    }
}

test('a built database: every view, each from an opening of its own, which only reads; other tables call nothing', async () => {
    const before = statSync(built).mtimeMs;
    const db = await openModel(built, { needs: [] });
    for (const { table, isView } of modelFiles()) {
        if (isView) await readTable(built, table);
        else expect((await calledBy(db, [table])).functions).toEqual([]);
    }
    for (const kind of kinds) await readTable(built, kind);
    db.close();
    expect(statSync(built).mtimeMs).toBe(before);
});

test('a built database: the queries of every page and check', async () => {
    const before = statSync(built).mtimeMs;
    const asked = [...listReports().map((name) => reportQueries([name])), checks().map(({ query }) => query)];
    for (const queries of asked) {
        const db = await openModel(built, { needs: queries });
        for (const query of queries) {
            await db.cells(`select * from (${query}\n) limit 0`, choiceParameters(query, {}));
        }
        db.close();
    }
    expect(statSync(built).mtimeMs).toBe(before);
});

const questions = [
    'slopes',
    'gauges',
    'drift --all',
    'audit --by kit',
    'range',
    'check --only end_of_scale',
    'clocking --chassis OTTER --kit KIT --target TARGET',
    'advise --vehicle VEHICLE --target TARGET',
    'stack --kit KIT',
];

test('a built database: every question', async () => {
    const db = await openModel(built);
    const [names] = await db.cells(
        `select any_value(vehicle) as vehicle, any_value(readings.kit) as kit, any_value(target) as target
        from readings inner join (select distinct kit from hardware) using (kit) where chassis = 'OTTER' and target is not null`,
    );
    db.close();
    const before = statSync(built).mtimeMs;
    for (const question of questions) {
        const words = question
            .split(' ')
            .map((word) => (/^[A-Z]{3,}$/.test(word) ? String(names![word.toLowerCase()] ?? word) : word));
        const { status, err } = await inProcess('--db', built, '--json', ...words);
        expect(`${question}: ${status} ${status === 0 ? '' : err}`).toBe(`${question}: 0 `);
    }
    expect(statSync(built).mtimeMs).toBe(before);
});

test('where tables are made, all is known that asking them calls, views and questions too', async () => {
    const db = await openModel(built);
    const asked = [
        ...modelFiles().map(({ table }) => [table]),
        ...questionFiles().map(({ names }) => [...names]),
        ...listReports().map((name) => reportQueries([name])),
        ...checks().map(({ query }) => [query]),
    ];
    for (const needs of asked) {
        const models = await neededFor(db, needs);
        const made = await groundsOf(db, [...needs, ...models.map(({ query }) => query)]);
        const { functions } = await calledBy(db, needs);
        expect(functions.filter((file) => !made.functions.includes(file))).toEqual([]);
    }
    db.close();
});

test('a database that was only loaded: a view first, then a page, then the view again', async () => {
    const file = join(folder, 'unbuilt.duckdb');
    copyFileSync(loaded, file);
    await readTable(file, 'toe_settings');
    const { status, err } = await inProcess('--db', file, 'report', 'audit', '--out', join(folder, 'pages'));
    expect(`${status} ${err}`).toMatch(/^0 /);
    await readTable(file, 'toe_settings');
});

test('odds of a config file, where the tables of drift are there already and call nothing', async () => {
    const config = join(folder, 'odds.yaml');
    writeFileSync(config, 'prior_count: 80\n');
    const { status, err } = await inProcess('--db', built, '--json', 'drift', '--config', config);
    expect(`${status} ${err}`).toMatch(/^0 /);
});
