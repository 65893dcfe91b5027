import { expect, test } from 'vitest';
import { ensureModel } from '../../src/model/build.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { emptyDatabase, insertRows } from '../support/memory.js';

const names = (models: readonly { table: string }[]) => models.map((model) => model.table);
const built = async (db: Awaited<ReturnType<typeof emptyDatabase>>) =>
    (await db.cells('select table_name from build order by 1')).map((row) => row.table_name);

const forMoves = [
    'assumed_zones',
    'plate_positions',
    'placements',
    'condition_levels',
    'repeated_states',
    'reordered_states',
    'states',
    'condition_changes',
    'condition_parts',
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
