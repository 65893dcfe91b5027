import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { kinds } from '../../src/contracts/kinds.js';
import { Database } from '../../src/db/database.js';
import { calledBy, groundsOf, groundsOfModel, madeFrom, neededFor } from '../../src/model/dependencies.js';
import { packageReferences } from '../../src/model/packageReferences.js';
import { parseReferences, referencesOf, textKey } from '../../src/model/references.js';
import { functionFiles, modelFiles, questionFiles } from '../../src/model/sqlFile.js';
import { tablesPage } from '../../src/model/tablesPage.js';
import { packageRoot } from '../../src/packageRoot.js';

const db = await Database.open({ file: ':memory:', mode: 'create' });
afterAll(() => db.close());

const names = (models: readonly { table: string }[]) => models.map(({ table }) => table);

test.each([
    ['select a from t -- from u', ['t']],
    [
        'select * from t as u semi join v using (a) where b in (from w) and c = (select max(d) from x)',
        ['t', 'v', 'w', 'x'],
    ],
    ['with t as (select 1 as a) from t', []],
    ['with t as (select * from t) from t', ['t']],
    ['with u as (from t), v as (from u) from v', ['t']],
    ['with recursive t as (select 1 as a union all select a + 1 as a from t) from t', []],
    ['with a as (with t as (select 1 as b) from t) select * from a, t', ['t']],
    ['with u as materialized (from t) from u union all from U', ['t']],
    ['unpivot (from t) on a, b into name n value v', ['t']],
    ["select * from macro('t', [1]) where a = $vehicle and b = 'u'", ['t']],
    ['create or replace temp macro f(a, b) as table\nselect * from t;', ['t']],
    [
        'create or replace temp macro f(a) as a + (from t);\ncreate or replace temp macro g(b) as (from u);',
        ['t', 'u'],
    ],
    ['select "t".a, t as u from "T"', ['t']],
])('tables of %s', async (text, tables) => {
    expect((await parseReferences(db, text)).tables).toEqual(tables);
});

test('functions are found wherever they are called', async () => {
    const text = `select f(a), sum(g(b)) over (order by h(c)), [i(x) for x in l] from j(k(1)) order by m(a)`;
    expect((await parseReferences(db, text)).functions).toEqual(
        expect.arrayContaining(['f', 'g', 'h', 'i', 'j', 'k', 'm']),
    );
});

test('a query that cannot be read is said with its text', async () => {
    await expect(parseReferences(db, 'select from where')).rejects.toThrow(
        /syntax error.*\nselect from where/s,
    );
});

test('each header names as source what its query reads', async () => {
    const known = new Set<string>([...kinds, 'loads', ...names(modelFiles())]);
    for (const model of modelFiles()) {
        const { tables } = await groundsOfModel(db, model);
        const read = [...tables].filter((table) => known.has(table)).sort();
        const source = /^-- source: ([^;\n]*)/m.exec(model.query)![1]!;
        const said = [...new Set(source.match(/\w+/g))].filter((word) => known.has(word)).sort();
        expect(`${model.file}: ${read}`).toBe(`${model.file}: ${said}`);
    }
});

test('a model reads nothing that is not there, and only what is made before it', async () => {
    const inputs = new Set<string>([...kinds, 'loads']);
    for (const [place, model] of modelFiles().entries()) {
        const before = new Set([...inputs, ...names(modelFiles().slice(0, place))]);
        const { tables } = await groundsOfModel(db, model);
        const unknown = [...tables].filter((table) => !before.has(table));
        expect(`${model.file}: ${unknown}`).toBe(`${model.file}: `);
    }
});

test('what a table is made from, and all that it needs', async () => {
    const states = modelFiles().find(({ table }) => table === 'states')!;
    expect(names(await madeFrom(db, states))).toEqual(['condition_levels', 'placements']);
    expect(names(await neededFor(db, ['moves']))).toEqual([
        'assumed_zones',
        'condition_levels',
        'plates',
        'plate_positions',
        'placements',
        'states',
        'condition_changes',
        'free_toe_states',
        'state_pairs',
        'slope_moves',
        'moves',
    ]);
});

test('views bring the functions that they call, tables do not', async () => {
    const called = async (text: string) =>
        (await calledBy(db, [text])).functions.flatMap((file) => file.names);
    expect(await called('toe_settings')).toContain('slope_change_var');
    expect(await called('select * from placements')).toContain('wall_time');
    expect(await called('settings')).toEqual([]);
});

test('questions bring the questions that they ask', async () => {
    const { questions, tables } = await groundsOf(db, ['advised']);
    expect(questions.flatMap((file) => file.names)).toContain('asked_corners');
    expect(tables).toContain('sensitivities');
    expect(questionFiles().length).toBeGreaterThan(questions.length);
});

test('docs/tables.md is what sql/ says: run npm run graph and commit, if it is not', async () => {
    const written = readFileSync(join(packageRoot(), 'docs', 'tables.md'), 'utf8');
    expect(written === (await tablesPage())).toBe(true);
});

test('the build reads every file beforehand, so that no answer waits for the parser', async () => {
    const known = await packageReferences();
    for (const { query } of [...modelFiles(), ...functionFiles(), ...questionFiles()]) {
        expect(known[textKey(query)]).toEqual(await referencesOf(db, query));
    }
});
