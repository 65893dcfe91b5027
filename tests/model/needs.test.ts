import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { groundsOf, neededFor } from '../../src/model/dependencies.js';
import { functionFiles, modelFiles, questionFiles } from '../../src/model/sqlFile.js';

/** A command has only the tables that its needs name: one that is left out would be missing, or of another input. */

const db = await Database.open({ file: ':memory:', mode: 'create' });
afterAll(() => db.close());

const model = fileURLToPath(new URL('../../src/model', import.meta.url));
const known = new Set([
    ...modelFiles().map(({ table }) => table),
    ...questionFiles().flatMap(({ names }) => names),
]);

/** The file and all of src/model that it imports, but for types and what makes the tables. */
function reached(file: string, found = new Set<string>()): Set<string> {
    if (found.has(file) || !existsSync(file) || /build\w*\.ts$/.test(file)) return found;
    found.add(file);
    for (const [, target] of readFileSync(file, 'utf8').matchAll(
        /^(?!import type).*from '(\.\/[^']+)\.js'/gm,
    )) {
        reached(join(dirname(file), `${target}.ts`), found);
    }
    return found;
}

/** Tables and questions behind `from` and `join` in the file's queries. */
function asked(file: string): string[] {
    const text = readFileSync(file, 'utf8').replace(/^import .*$/gm, '');
    return [...text.matchAll(/\b(?:from|join)\s+(\w+)/g)]
        .map(([, name]) => name!)
        .filter((name) => known.has(name));
}

const modules = readdirSync(model).filter((file) =>
    /Needs = \[/.test(readFileSync(join(model, file), 'utf8')),
);

test('there are commands with needs', () => expect(modules.length).toBeGreaterThanOrEqual(8));

test.each(modules)('%s names all that it asks, and nothing that is not there', async (file) => {
    const module = (await import(pathToFileURL(join(model, file)).href)) as Record<string, unknown>;
    const own = Object.entries(module).find(([name]) => name.endsWith('Needs'))![1] as string[];
    // What one of its questions needs besides.
    const more = Object.entries(module).filter(([name]) => name.endsWith('NeedsOf'));
    const needs = [
        ...own,
        ...more.flatMap(([, needsOf]) =>
            (needsOf as (question: object) => string[])({ ask: { kind: 'back_to' } }),
        ),
    ];
    // A need may be a query too.
    expect(needs.filter((name) => /^\w+$/.test(name) && !known.has(name))).toEqual([]);
    const { questions } = await groundsOf(db, needs);
    const there = new Set([
        ...questions.flatMap(({ names }) => names),
        ...(await neededFor(db, needs)).map(({ table }) => table),
    ]);
    const names = [...reached(join(model, file))].flatMap(asked);
    expect(names.length).toBeGreaterThan(0);
    expect(names.filter((name) => !there.has(name))).toEqual([]);
});

test('every function of sql/functions is known by its name', () => {
    for (const { names, query } of functionFiles()) {
        expect(names).toHaveLength(query.match(/^create /gm)!.length);
    }
});

test('the functions that a query calls come with those that they call, and no others', async () => {
    const names = async (query: string) =>
        (await groundsOf(db, [query])).functions.flatMap((file) => file.names);
    expect(await names('select 1')).toEqual([]);
    expect(await names('select exact_mean(x) -- tan_deg(x)')).toEqual(['micro', 'exact_mean']);
});
