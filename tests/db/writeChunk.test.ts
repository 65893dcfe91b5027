import { expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';

const columns = [
    { name: 'd', type: 'DOUBLE' },
    { name: 'n', type: 'INTEGER' },
    { name: 'big', type: 'BIGINT' },
    { name: 'b', type: 'BOOLEAN' },
    { name: 't', type: 'VARCHAR' },
    { name: 'moment', type: 'TIMESTAMP' },
    { name: 'list', type: 'DOUBLE[]' },
];
const form = columns.map(({ name, type }) => `${name} ${type}`).join(', ');

/** Rows of all types, over several chunks, with and without nulls. */
const rows = Array.from({ length: 5000 }, (_, i) => ({
    d: i % 7 === 0 ? null : i / 3,
    n: i % 5 === 0 ? null : i - 3000,
    big: i % 2 === 0 ? Number.MAX_SAFE_INTEGER - i : null,
    b: i % 3 === 0 ? null : i % 2 === 0,
    t: [null, '', `Räder ${i}`, 'longer than twelve bytes by far'][i % 4]!,
    moment: i % 11 === 0 ? null : Date.UTC(2026, 0, 1) * 1000 + i,
    list: i % 9 === 0 ? null : Array.from({ length: i % 4 }, (_, k) => i + k / 2),
}));

async function emptyTable(): Promise<Database> {
    const db = await Database.open({ file: ':memory:', mode: 'create', threads: 1 });
    await db.run(`create table made (${form})`);
    return db;
}

test('rows that are appended come back as they were, over chunks', async () => {
    const db = await emptyTable();
    await db.append('made', columns, rows);
    const found = await db.cells('select * replace (epoch_us(moment) as moment) from made order by rowid');
    db.close();
    expect(found).toEqual(rows);
});

test('a value of another type, a missing or a strange column is an error', async () => {
    const db = await emptyTable();
    const [row] = rows as [(typeof rows)[0]];
    const append = (one: Record<string, unknown>) => db.append('made', columns, [one as never]);
    await expect(append({ ...row, d: 'one' })).rejects.toThrow('"one" is no DOUBLE');
    await expect(append({ ...row, b: 1 })).rejects.toThrow('1 is no BOOLEAN');
    await expect(append({ ...row, t: 3 })).rejects.toThrow('3 is no VARCHAR');
    await expect(append({ d: 1 })).rejects.toThrow('a row has no n');
    await expect(append({ ...row, more: 1 })).rejects.toThrow('there is no column more');
    db.close();
});
