import { expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';

/** Rows of all kinds of cells, more than one chunk of them. Reference: DuckDB's own text of each value. */
const query = `select
    case when i % 7 <> 0 then i / 3 end as d,
    case when i % 5 <> 0 then i - 3000 end::integer as n,
    case when i % 3 <> 0 then i % 2 = 0 end as b,
    case when i % 11 = 0 then null when i % 4 = 0 then '' when i % 4 = 1 then 'Räder ' || i // 9
        when i % 4 = 2 then repeat('länger als zwölf ', 1 + i % 3 + (i % 50 = 2)::integer * 400) || i // 9 else 'same' end as t,
    case when i % 2 = 0 then 9007199254740991 - i end::bigint as big,
    case when i % 9 <> 0 then [i::double, null, 0.5] end as list,
    i::double as whole
from (select unnest(range(5000)) as i)`;

test.each([
    ['as made', query],
    ['out of order', `from (${query}) order by hash(whole)`],
])('cells are what DuckDB says they are, over chunks, with and without nulls, %s', async (_, query) => {
    const db = await Database.open({ file: ':memory:', mode: 'create', threads: 1 });
    const rows = await db.cells(query);
    const texts = await db.cells(`select columns(*)::varchar from (${query})`);
    db.close();
    expect(rows).toHaveLength(5000);
    const said = (value: unknown): string | null => {
        if (value === null) return null;
        if (Array.isArray(value)) return `[${value.map((item) => said(item) ?? 'NULL').join(', ')}]`;
        return String(value);
    };
    const sameNumber = (one: unknown, other: unknown) => Number(one) === Number(other);
    for (const [at, { d, whole, list, ...others }] of rows.entries()) {
        const text = texts[at]!;
        for (const [name, value] of Object.entries(others)) expect(said(value)).toBe(text[name]);
        expect(d === null ? text.d === null : sameNumber(d, text.d)).toBe(true);
        expect(sameNumber(whole, text.whole)).toBe(true);
        expect(list === null ? text.list : (list as number[])[0]).toBe(list === null ? null : whole);
    }
});

test('a whole number beyond those of JavaScript is an error, no other number', async () => {
    const db = await Database.open({ file: ':memory:', mode: 'create', threads: 1 });
    for (const number of ['9007199254740993', '-9007199254740993', '9223372036854775807'])
        await expect(db.cells(`select ${number}::bigint as big`)).rejects.toThrow(number);
    const safe = ['-9007199254740991', '-4294967297', '-1', '0', '4294967296'];
    for (const number of safe)
        expect(await db.cells(`select ${number}::bigint as big`)).toEqual([{ big: Number(number) }]);
    db.close();
});
