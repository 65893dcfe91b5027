import { mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, expect, test, vi } from 'vitest';
import type * as database from '../../src/db/database.js';
import type { Database } from '../../src/db/database.js';
import { ensureModel, isFresh } from '../../src/model/build.js';
import { foundationOf, storedMarks } from '../../src/model/marks.js';
import { functionFiles, modelFiles } from '../../src/model/sqlFile.js';
import * as fingerprint from '../../src/stats/fingerprint.js';
import { emptyDatabase, insertRows, type Rows } from '../support/memory.js';

const stats = vi.hoisted(() => ({ changed: '' }));
vi.mock('../../src/stats/fingerprint.js', async (original) => {
    const real = await original<typeof fingerprint>();
    return { ...real, statisticsFingerprint: () => real.statisticsFingerprint() + stats.changed };
});
const engine = vi.hoisted(() => ({ changed: '' }));
vi.mock('../../src/db/database.js', async (original) => {
    const real = await original<typeof database>();
    return {
        ...real,
        get duckdbVersion() {
            return real.duckdbVersion + engine.changed;
        },
    };
});

const row = (vehicle: string, more: Rows[number]): Rows[number] => ({
    vehicle,
    chassis: 'X',
    corner: 'FL',
    measured_at: '2026-01-01T10:00',
    visit: 'v',
    visit_kind: 'adjust',
    phase: 'before',
    kit: 'K',
    plate_index: 1,
    mark_1: 1,
    camber_deg: -1,
    ...more,
});
const readings: Rows = [
    row('one', {}),
    row('one', { phase: 'moved', mark_1: 3, camber_deg: -0.8 }),
    row('two', { corner: 'FR' }),
    row('two', { corner: 'FR', phase: 'moved', mark_1: 4, camber_deg: -0.7 }),
];
const kit = { kit: 'K', axis_deg: 0, mark_pitch_mm: 2, mark_min: -5, mark_max: 5 };
/** moves, a view over slope_moves, a view over state_pairs, which reads readings and kits; the priors read neither. */
const needs = ['moves', 'angle_priors'];

let db: Database;
beforeAll(async () => {
    db = await emptyDatabase();
    await insertRows(db, 'kits', [kit]);
    await insertRows(db, 'readings', readings);
});
beforeEach(async () => {
    await ensureModel(db, needs);
});
afterAll(() => db.close());

/** Tables that are made anew by the next build. */
async function madeAnew(): Promise<string[]> {
    const asked = vi.spyOn(db, 'cells');
    await ensureModel(db, needs);
    const made = asked.mock.calls.flatMap(
        ([sql]) => /^create or replace (?:table|view) "(\w+)"/.exec(sql)?.[1] ?? [],
    );
    asked.mockRestore();
    expect(await isFresh(db, needs)).toBe(true);
    return made;
}
const all = ['plate_positions', 'placements', 'states', 'state_pairs', 'moves', 'angle_priors'];

test('nothing has changed: nothing is made', async () => {
    expect(await isFresh(db, needs)).toBe(true);
    expect(await madeAnew()).toEqual([]);
});

test.each([
    ['src/stats', stats],
    ['the version of DuckDB', engine],
])('%s has changed: every table is made anew', async (_, part) => {
    part.changed = ' changed';
    expect(await isFresh(db, needs)).toBe(false);
    expect(await madeAnew()).toEqual(expect.arrayContaining(all));
    part.changed = '';
    expect(await isFresh(db, needs)).toBe(false);
});

test('a function has changed: tables that call it are made anew, no others', async () => {
    const called = functionFiles().find(({ names }) => names.includes('plate_offset'))!;
    const { query } = called;
    Object.assign(called, { query: `${query}-- changed\n` });
    const made = await madeAnew();
    Object.assign(called, { query });
    expect(made).toEqual(['plate_positions']);
});

test('its SQL has changed: the table is made anew, and those after it where its rows are others', async () => {
    const model = modelFiles().find(({ table }) => table === 'state_pairs')!;
    const { query } = model;
    Object.assign(model, { query: `${query}\n-- changed` });
    expect(await madeAnew()).toEqual(['state_pairs']);
    Object.assign(model, { query: `select * from (${query}\n) where vehicle = 'one'` });
    expect(await madeAnew()).toEqual(['state_pairs', 'slope_moves', 'moves']);
    Object.assign(model, { query });
});

test('rows have changed, no text: views stay as they are', async () => {
    await insertRows(db, 'readings', [row('four', {})]);
    const made = await madeAnew();
    expect(made).toContain('states');
    expect(made).not.toContain('placements');
    await takeBack('readings', "vehicle = 'four'");
});

/** Takes rows of table `kind` away as a command would that voids them. */
const takeBack = (kind: string, where: string) => db.run(`delete from ${kind} where ${where}`);

test.each([
    ['a row that is not the last one', 'readings', "vehicle = 'one' and phase = 'before'"],
    ['the rows of one car', 'readings', "vehicle = 'one'"],
    ['the last row', 'readings', "vehicle = 'two' and phase = 'moved'"],
    ['a kit', 'kits', "kit = 'K'"],
])('taken back: %s; the tables follow, and again when it is brought back', async (_, kind, where) => {
    await db.run(`create or replace temp table aside as select * from ${kind} where ${where}`);
    await takeBack(kind, where);
    expect(await isFresh(db, needs)).toBe(false);
    expect(await madeAnew()).not.toContain('angle_priors');
    await db.run(`insert into ${kind} select * from aside`);
    expect(await isFresh(db, needs)).toBe(false);
    expect(await madeAnew()).not.toContain('angle_priors');
});

test('more readings: a table that other programs read is described again, its rows are those of a new build', async () => {
    const comments = `select table_name, column_name, comment from duckdb_columns()
        where table_name = 'moves' order by all`;
    const held = async () => [
        await db.cells(comments),
        await db.cells('select * from plate_positions order by all'),
        await db.cells('select * from moves order by all'),
    ];
    await insertRows(db, 'readings', [
        row('three', {}),
        row('three', { phase: 'moved', mark_1: 5, camber_deg: -0.5 }),
    ]);
    await ensureModel(db, needs);
    const filled = await held();
    for (const { comment } of filled[0]!) expect(comment).toMatch(/\w/);
    expect(filled[2]).toHaveLength(3);
    await db.run('drop table build');
    expect(await madeAnew()).toEqual(expect.arrayContaining(all));
    expect(await held()).toEqual(filled);
    await takeBack('readings', "vehicle = 'three'");
});

test('one of two rows that a map made of one line goes, the other comes back: that is seen', async () => {
    const pair = [row('three', {}), row('three', { corner: 'FR' })];
    await insertRows(db, 'readings', pair, 2);
    await db.run('update readings set source_line = 2 where load_id = 2');
    await db.run(
        "create or replace temp table aside as select * from readings where load_id = 2 and corner = 'FR'",
    );
    await takeBack('readings', "load_id = 2 and corner = 'FR'");
    await ensureModel(db, needs);
    await takeBack('readings', 'load_id = 2');
    await db.run('insert into readings select * from aside');
    expect(await isFresh(db, needs)).toBe(false);
    await takeBack('readings', 'load_id = 2');
});

test('the order of the rows does not matter', async () => {
    const before = await foundationOf(db, undefined);
    await db.run('create or replace temp table aside as select * from readings order by camber_deg');
    await takeBack('readings', 'true');
    await db.run('insert into readings select * from aside');
    expect(await foundationOf(db, undefined)).toEqual(before);
});

test('what a table reads outside of the database counts as readings', async () => {
    await ensureModel(db, needs, 'files as they are');
    expect(await isFresh(db, needs, 'files as they are')).toBe(true);
    expect(await isFresh(db, needs, 'files, others')).toBe(false);
    expect(await isFresh(db, ['angle_priors'], 'files, others')).toBe(true);
});

test('a build that is stopped keeps what it has made, with its marks', async () => {
    stats.changed = ' changed';
    // By this clock every table takes long, so that each is committed by itself.
    let now = 0;
    const clock = vi.spyOn(performance, 'now').mockImplementation(() => {
        now += 200;
        return now;
    });
    const ask = db.cells.bind(db);
    const stopped = vi.spyOn(db, 'cells').mockImplementation(async (sql, parameters) => {
        if (sql.startsWith('create or replace table "state_pairs"')) throw new Error('stopped');
        return ask(sql, parameters);
    });
    await expect(ensureModel(db, needs)).rejects.toThrow('stopped');
    stopped.mockRestore();
    const made = await madeAnew();
    clock.mockRestore();
    stats.changed = '';
    expect(made).toContain('state_pairs');
    expect(made).not.toContain('plate_positions');
    expect((await storedMarks(db)).size).toBeGreaterThanOrEqual(all.length);
});

test('the fingerprint of src/stats changes with a file, its name, and a file more', () => {
    const root = mkdtempSync(join(tmpdir(), 'stats-'));
    const file = (name: string) => join(root, name);
    writeFileSync(file('package.json'), '{"dependencies": {}}');
    const prints = new Set<string>();
    const print = () => prints.add(fingerprint.fingerprintOf(join(root, 'src', 'stats')));
    mkdirSync(join(root, 'src', 'stats'), { recursive: true });
    writeFileSync(file('src/stats/factor.ts'), 'export const factor = 1;');
    print();
    writeFileSync(file('src/stats/factor.ts'), 'export const factor = 10;');
    print();
    writeFileSync(file('src/stats/more.ts'), '');
    print();
    renameSync(file('src/stats/more.ts'), file('src/stats/other.ts'));
    print();
    rmSync(root, { recursive: true });
    expect(prints.size).toBe(4);
});
