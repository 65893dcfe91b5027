import fc from 'fast-check';
import { type Database, identifier } from '../../src/db/database.js';

const nameColumns = [
    'vehicle',
    'chassis',
    'visit',
    'session',
    'kit',
    'target',
    'gauge',
    'technician',
    'name',
    'shaft',
    'part',
];

/** Whether a column holds names: one of these, or what stands for one of them beside others, such as toe_gauge. */
const isName = (column: string) =>
    nameColumns.some((name) => column === name || (name !== 'name' && column.endsWith(`_${name}`)));

const pieces = [
    ...'\u0000\t\n\r\u001b\u007f\u0085\u009b\u00ad\u200b\u200f\u2028\u2029\u202e\u2066\ufeff"\'`\\<>&{}[]().,;:#$%=|/ aäß数😀',
    '</script>',
    '<!--',
    '{x}',
    'datum.x',
    '\\u2028',
];
const names = fc.oneof(
    { weight: 9, arbitrary: fc.string({ unit: fc.constantFrom(...pieces), minLength: 1, maxLength: 12 }) },
    { weight: 1, arbitrary: fc.constantFrom('x'.repeat(2000), 'wide 数'.repeat(300)) },
);

/** Names that mean something to plain objects and to script. */
const known = ['constructor', '__proto__', 'toString', 'null', 'datum'];

/** Gives everything in the database that has a name another one, the same everywhere, as it might have come in before names had a rule. */
export async function rename(db: Database, seed: number): Promise<void> {
    const columns = (
        await db.cells(
            "select table_name, column_name from duckdb_columns() where schema_name = 'main' and not internal and data_type = 'VARCHAR'",
        )
    ).filter(({ column_name }) => isName(String(column_name)));
    const tables = (await db.cells('select table_name from duckdb_tables()')).map(
        ({ table_name }) => table_name,
    );
    const old = new Set<string>();
    const named: { table: string; column: string }[] = [];
    for (const { table_name, column_name } of columns) {
        if (!tables.includes(table_name!)) continue;
        const [table, column] = [identifier(String(table_name)), identifier(String(column_name))];
        const rows = await db.cells(
            `select distinct ${column} as name from ${table} where ${column} is not null`,
        );
        if (rows.length > 0) named.push({ table, column });
        for (const { name } of rows) old.add(String(name));
    }
    const fresh = fc.sample(fc.uniqueArray(names, { minLength: old.size, maxLength: old.size }), {
        seed,
        numRuns: 1,
    })[0]!;
    for (const [n, name] of known.slice(0, old.size).entries()) if (!fresh.includes(name)) fresh[n] = name;
    const pairs = JSON.stringify([...old].map((name, n) => ({ old_name: name, new_name: fresh[n]! })));
    for (const { table, column } of named) {
        await db.run(
            `update ${table} set ${column} = pairs.new_name
            from (select unnest(from_json($pairs::json, '[{"old_name": "VARCHAR", "new_name": "VARCHAR"}]'), recursive := true)) as pairs
            where ${column} = pairs.old_name`,
            { pairs },
        );
    }
    await renumber(db, tables);
}

/** Gives readers, which are numbered by the names of gauge and person, their new numbers. */
async function renumber(db: Database, tables: readonly unknown[]): Promise<void> {
    const columns = await db.cells(
        "select table_name, column_name from duckdb_columns() where schema_name = 'main' and regexp_matches(column_name, '^([a-z]+_)?reader(_[12])?$')",
    );
    await db.run(
        'create or replace temp table numbers as select reader as old_number, reader_of(gauge, technician) as new_number from readers',
    );
    for (const { table_name, column_name } of columns) {
        if (!tables.includes(table_name!)) continue;
        const [table, column] = [identifier(String(table_name)), identifier(String(column_name))];
        await db.run(`update ${table} set ${column} = new_number from numbers where ${column} = old_number`);
    }
}
