import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Database, identifier } from '../../src/db/database.js';
import { listReports } from '../../src/report/registry.js';
import { reportPage } from '../../src/report/renderReport.js';
import { reportDatabase } from '../support/reportDatabase.js';

const stamp = { version: '1.2.3', reading_count: 1234, load_count: 1 };
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
async function rename(db: Database, seed: number): Promise<void> {
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
    for (const { table_name, column_name } of columns.filter(({ table_name }) =>
        tables.includes(table_name!),
    )) {
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
}

/** Characters that end a line, steer a terminal or turn text, but the line feeds that the page itself has. */
const unseen = /(?!\n)[\p{Cc}\p{Zl}\p{Zp}\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/u;

/** The page without the script and the style that all pages have. */
const own = (page: string) => page.replace(/<(script|style)>.*?<\/\1>/gs, '');

// Not cells: among equals a page picks by name.
const parts = [/<script/g, /<\/script>/g, /<svg/g, /<section/g, /<table/g, /<!--/g];
const counts = (page: string) => parts.map((part) => [String(part), page.match(part)?.length ?? 0]);

test.each(listReports().map((name, n) => [name, n + 1] as const))(
    '%s holds whatever things are called (names of seed %i)',
    async (name, seed) => {
        const db = await reportDatabase(name);
        try {
            const plain = own(await reportPage(name, db, stamp));
            await rename(db, seed);
            const page = own(await reportPage(name, db, stamp));
            expect(unseen.exec(page)).toBeNull();
            expect(counts(page)).toEqual(counts(plain));
            for (const [, json] of page.matchAll(/<script type="application\/json"[^>]*>(.*?)<\/script>/g))
                JSON.parse(json!);
        } finally {
            db.close();
        }
    },
);
