import { copyFileSync, existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { kitColumns, readingColumns } from '../../fixtures/physics/columns.js';
import { toCsv } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { loadResult } from '../../src/contracts/results/load.js';
import { Database } from '../../src/db/database.js';
import { modelsNotMade, modelsStopped } from '../../src/errors/loadMessages.js';
import { isFresh } from '../../src/model/build.js';
import * as buildTable from '../../src/model/buildTable.js';
import { inProcess, type Said, stoppable } from '../support/inProcess.js';

/** `load` makes the model tables once the rows are stored; whatever stops that, the rows stay. */

const folder = mkdtempSync(join(tmpdir(), 'load-models-'));
afterAll(() => rmSync(folder, { recursive: true }));
const at = (name: string) => join(folder, name);
const load = (db: string, ...words: string[]) => inProcess('--db', at(db), 'load', '--json', ...words);

async function asked<T>(name: string, ask: (db: Database) => Promise<T>): Promise<T> {
    const db = await Database.open({ file: at(name), mode: 'read' });
    try {
        return await ask(db);
    } finally {
        db.close();
    }
}

const count = async (name: string, table: string) =>
    (await asked(name, (db) => db.cells(`select count(*) as n from ${table}`)))[0]!.n;
const holdsModels = (name: string) => asked(name, (db) => db.holds('build', ['table_name']));
const fresh = (name: string) => asked(name, (db) => isFresh(db));

let kits: string;
let all: string;
let some: string;
let readingCount: number;
let first: Said;

beforeAll(async () => {
    const { kits: plates, readings } = simulateFleet({
        seed: 8,
        designs: designs.slice(0, 1),
        vehicles: 2,
        visits: 1,
    });
    readingCount = readings.length;
    const file = (name: string, text: string) => {
        writeFileSync(at(name), text);
        return at(name);
    };
    kits = file('kits.csv', toCsv(kitColumns, plates));
    all = file('all.csv', toCsv(readingColumns, readings));
    some = file('some.csv', toCsv(readingColumns, readings.slice(0, -4)));
    first = await load('made.duckdb', kits, some);
    expect(first.status).toBe(0);
});

test('questions find every table made, after the first readings and after more', async () => {
    expect(await fresh('made.duckdb')).toBe(true);
    const { status, out, err } = await load('made.duckdb', all);
    expect([status, err.includes('warning')]).toEqual([0, false]);
    expect(loadResult.parse(JSON.parse(out)).rows[0]).toMatchObject({ loaded_count: 4 });
    expect(await fresh('made.duckdb')).toBe(true);
});

test('nothing is made by a dry run, with --later, before the first readings, or where nothing changed', async () => {
    const made = vi.spyOn(buildTable, 'buildTable');
    const later = await load('later.duckdb', '--later', kits, some);
    expect(await holdsModels('later.duckdb')).toBe(false);
    expect((await load('later.duckdb', '--dry-run', all)).status).toBe(0);
    expect(await holdsModels('later.duckdb')).toBe(false);
    await load('kits.duckdb', kits);
    expect(await holdsModels('kits.duckdb')).toBe(false);
    expect((await load('gone.duckdb', at('gone.csv'))).status).toBe(1);
    expect(existsSync(at('gone.duckdb'))).toBe(false);
    expect((await load('made.duckdb', all)).status).toBe(0);
    expect(made).not.toHaveBeenCalled();
    made.mockRestore();
    // What is printed as the result hangs on the rows alone; what can be asked next, on what is made.
    expect(JSON.parse(later.out).rows).toEqual(JSON.parse(first.out).rows);
});

test.each([
    ['out of memory', 'Out of Memory Error: could not allocate', 'Name a larger size with --memory'],
    ['a full disk', 'IO Error: No space left on device', 'Free some space'],
    ['a bug', 'Binder Error: no such column', 'a bug of Strutmark, Binder Error'],
])('%s: the rows stay, a warning says so, and the next question makes the rest', async (_, said, hint) => {
    const file = `${said.slice(0, 2)}.duckdb`;
    const original = buildTable.buildTable;
    const making = vi.spyOn(buildTable, 'buildTable').mockImplementation(async (db, model, isFollowed) => {
        if (model.table === 'moves') throw new Error(said);
        return original(db, model, isFollowed);
    });
    const { status, err } = await load(file, kits, all);
    making.mockRestore();
    expect(status).toBe(0);
    expect(err).toContain(modelsNotMade('').slice(0, 20));
    expect(err).toContain(hint);
    expect(await count(file, 'readings')).toBe(readingCount);
    expect((await inProcess('--db', at(file), 'export', 'moves', '--to', at(`${file}.csv`))).status).toBe(0);
});

test('Ctrl-C while they are made: 1, the rows stay, and it is said', async () => {
    copyFileSync(at('later.duckdb'), at('stopped.duckdb'));
    const words = ['--db', at('stopped.duckdb'), '--quiet', 'load', '--json', all];
    const original = buildTable.buildTable;
    for (const table of ['placements', 'moves']) {
        const stop = new AbortController();
        const making = vi
            .spyOn(buildTable, 'buildTable')
            .mockImplementation(async (db, model, isFollowed) => {
                if (model.table === table) stop.abort();
                const content = await original(db, model, isFollowed);
                if (model.table === table) throw new Error('INTERRUPT Error: Interrupted!');
                return content;
            });
        const { status, out, err } = await stoppable(stop.signal, ...words);
        making.mockRestore();
        expect([status, err]).toEqual([1, `error: ${modelsStopped()}\n`]);
        expect(loadResult.parse(JSON.parse(out)).rows).toHaveLength(1);
        expect(await count('stopped.duckdb', 'readings')).toBe(readingCount);
    }
});
