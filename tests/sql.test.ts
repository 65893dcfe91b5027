import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Database } from '../src/db/database.js';
import { modelFiles } from '../src/model/sqlFile.js';
import { packageRoot } from '../src/packageRoot.js';
import { bodyOf, lintSql } from './support/sqlLint.js';

/** The habits of `sql/` and of the queries of pages; what each file and table holds is tested elsewhere. */

const MOST_LINES = 150;

const files = ['sql', 'reports'].flatMap((folder) =>
    readdirSync(join(packageRoot(), folder), { recursive: true, encoding: 'utf8' })
        .filter((file) => file.endsWith('.sql'))
        .map((file) => join(folder, file))
        .sort(),
);
const textOf = (file: string) => readFileSync(join(packageRoot(), file), 'utf8');

let db: Database;
let keywords: Set<string>;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    const rows = await db.cells('select keyword_name from duckdb_keywords()');
    keywords = new Set(rows.map((row) => String(row.keyword_name)));
});
afterAll(() => db.close());

test.each([
    ['select a from t', 'begins without a comment'],
    ['-- A.\nSELECT a from t', 'SELECT: keywords'],
    ['-- A.\nselect a from t join u using (b)', 't join u'],
    ['-- A.\nselect a from t, u', 'a comma joins tables'],
    ['-- A.\ncreate or replace temp macro f(x) as table select a from t, unnest(x);', 'a comma joins tables'],
    ['-- A.\nselect * from readings', 'all columns of readings'],
    ['-- A.\nselect r.* from readings as r inner join t using (a)', 'all columns of readings'],
    [`-- A.\nselect ${'a + '.repeat(30)} b from t`, 'a line of'],
])('%s', async (text, said) => {
    expect(await lintSql(db, keywords, text)).toEqual([expect.stringContaining(said)]);
});

test.each([
    `-- ${'Long header. '.repeat(20)}\nselect a from t`,
    '-- A.\nselect \'SELECT a from t, u\' as "FROM", count(*) from readings cross join u',
    `-- A.\nselect\n    '${'a long sentence '.repeat(20)}' as said\nfrom t`,
    '-- A.\nwith u as (select a from readings)\nselect * from u asof left join t on u.a >= t.a',
    '-- A.\nselect t.* from t inner join readings using (a)',
])('nothing against %s', async (text) => {
    expect(await lintSql(db, keywords, text)).toEqual([]);
});

test('every file keeps the habits', async () => {
    const found: string[] = [];
    for (const file of files) {
        const problems = await lintSql(db, keywords, textOf(file));
        found.push(...problems.map((text) => `${file}: ${text}`));
    }
    expect(found).toEqual([]);
});

test('headers of models: each line of a column is read as one, in the order of the guide', () => {
    for (const { file, query, columns } of modelFiles()) {
        const keys = [...query.matchAll(/^-- (title|grain|source|missing|column)\b/gm)].map(
            ([, key]) => key!,
        );
        expect([file, ...keys]).toEqual([
            file,
            ...['title', 'grain', 'source', 'missing'],
            ...columns.map(() => 'column'),
        ]);
    }
});

test(`no query has more than ${MOST_LINES} lines below its header`, () => {
    const lengths = files.map((file) => [file, bodyOf(textOf(file)).length] as const);
    expect(lengths.filter(([, lines]) => lines > MOST_LINES)).toEqual([]);
});
