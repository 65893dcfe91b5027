import { expect, test, vi } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate } from '../../fixtures/physics/kits.js';
import { ensureModel } from '../../src/model/build.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { emptyDatabase, insertRows, type Rows } from '../support/memory.js';

const names = (models: readonly { table: string }[]) => models.map((model) => model.table);
const built = async (db: Awaited<ReturnType<typeof emptyDatabase>>) =>
    (await db.cells('select table_name from build order by 1')).map((row) => row.table_name);

const forMoves = [
    'assumed_zones',
    'plates',
    'plate_positions',
    'placements',
    'condition_levels',
    'states',
    'condition_changes',
    'free_toe_states',
    'state_pairs',
    'slope_moves',
    'moves',
];

test('only what is asked for is built, and only what is stale is built again', async () => {
    const db = await emptyDatabase();
    expect(await ensureModel(db, ['moves'])).toBe(true);
    expect(await built(db)).toEqual([...forMoves].sort());
    expect(await ensureModel(db, ['states'])).toBe(false);
    expect(await ensureModel(db, ['slopes'])).toBe(true);
    await insertRows(db, 'kits', [{ kit: 'K', mark_pitch_mm: 2 }]);
    expect(await ensureModel(db, ['moves'])).toBe(true);
    expect(await ensureModel(db, ['moves'])).toBe(false);
    expect(await ensureModel(db)).toBe(true);
    expect(await ensureModel(db)).toBe(false);
    expect(await built(db)).toEqual(names(modelFiles()).sort());
    db.close();
});

test('a table whose file is gone goes with the next build', async () => {
    const db = await emptyDatabase();
    await ensureModel(db, ['moves']);
    await db.run('create table once_there (x integer)');
    await db.run("insert into build (table_name, basis) values ('once_there', 'x')");
    await insertRows(db, 'kits', [{ kit: 'K', mark_pitch_mm: 2 }]);
    await ensureModel(db, ['moves']);
    expect(await built(db)).toEqual([...forMoves].sort());
    expect(await db.cells("select 1 from duckdb_tables() where table_name = 'once_there'")).toEqual([]);
    db.close();
});

test('two connections make the tables that one makes', async () => {
    const fleet = simulateFleet({ seed: 17, designs, vehicles: 3, visits: 2, plates: [onePlate] });
    const marks = [];
    for (const [count, areApart] of [
        [1, false],
        [2, false],
        [1, true],
        [2, true],
    ] as const) {
        const db = await emptyDatabase();
        await insertRows(db, 'kits', fleet.kits as Rows);
        await insertRows(db, 'readings', fleet.readings as Rows);
        const besides = count === 2 ? [await db.beside()] : [];
        await ensureModel(db, undefined, undefined, undefined, besides, areApart);
        marks.push(await db.cells('select * from build order by table_name'));
        db.close();
    }
    expect(marks[0]!.length).toBe(modelFiles().length);
    for (const others of marks.slice(1)) expect(others).toEqual(marks[0]);
});

test('where one of two connections fails, the other stops, and what was made stays', async () => {
    const db = await emptyDatabase();
    await insertRows(db, 'kits', [{ kit: 'K', mark_pitch_mm: 2 }]);
    const beside = await db.beside();
    // By this clock every table takes long, so that each is committed by itself, whatever the machine.
    let now = 0;
    vi.spyOn(performance, 'now').mockImplementation(() => {
        now += 1000;
        return now;
    });
    for (const one of [db, beside]) {
        const ask = one.cells.bind(one);
        vi.spyOn(one, 'cells').mockImplementation(async (sql, parameters) => {
            if (sql.startsWith('create or replace table "slope_flags"')) throw new Error('stopped');
            return ask(sql, parameters);
        });
    }
    await expect(ensureModel(db, undefined, undefined, undefined, [beside])).rejects.toThrow('stopped');
    vi.restoreAllMocks();
    const made = await built(db);
    expect(made).toEqual(expect.arrayContaining(['states', 'state_pairs']));
    expect(made.length).toBeLessThan(modelFiles().length);
    expect(await ensureModel(db)).toBe(true);
    expect(await built(db)).toEqual(names(modelFiles()).sort());
    db.close();
});
