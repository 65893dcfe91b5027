import type { Database } from '../db/database.js';
import { checks, readBy, SUSPECTS } from './checks.js';
import { referencesOf } from './references.js';
import {
    type FunctionFile,
    functionFiles,
    modelFiles,
    once,
    type QuestionFile,
    questionFiles,
    type SqlFile,
} from './sqlFile.js';

/** What SQL stands on, macros and questions followed, views not: names of tables and views, and the files of what it calls, in run order. */
export interface Grounds {
    tables: ReadonlySet<string>;
    functions: readonly FunctionFile[];
    questions: readonly QuestionFile[];
}

/** The files of `sql/functions` and `sql/questions` by the names that they make. */
const fileOf = once(
    () =>
        new Map(
            [...functionFiles(), ...questionFiles()].flatMap((file) =>
                file.names.map((name) => [name, file] as const),
            ),
        ),
);

/** What `texts` name: queries, or names of tables and questions alone. */
export async function groundsOf(db: Database, texts: Iterable<string>): Promise<Grounds> {
    const tables = new Set<string>();
    const called = new Set<FunctionFile>();
    const waiting = [...texts];
    for (let text = waiting.pop(); text !== undefined; text = waiting.pop()) {
        const found = await referencesOf(db, text);
        if (found.tables.includes(SUSPECTS) && !tables.has(SUSPECTS))
            waiting.push(...checks().flatMap(readBy));
        for (const name of found.tables) tables.add(name);
        for (const name of found.functions) {
            const file = fileOf().get(name);
            if (file === undefined || called.has(file)) continue;
            called.add(file);
            waiting.push(file.query);
        }
    }
    return {
        tables,
        functions: functionFiles().filter((file) => called.has(file)),
        questions: questionFiles().filter((file) => called.has(file)),
    };
}

/** What the table of `model` is made from. */
export const groundsOfModel = (db: Database, { query, givenWhole }: SqlFile): Promise<Grounds> =>
    groundsOf(db, [query, ...givenWhole]);

/** Tables of `models` that `model` is made from, through macros too. */
export async function madeFrom(
    db: Database,
    model: SqlFile,
    models: readonly SqlFile[] = modelFiles(),
): Promise<SqlFile[]> {
    const { tables } = await groundsOfModel(db, model);
    return models.filter(({ table }) => tables.has(table));
}

/** The model files of the tables that `texts` name, and of all that they are made from, in run order. */
export async function neededFor(
    db: Database,
    texts: Iterable<string>,
    models: readonly SqlFile[] = modelFiles(),
): Promise<SqlFile[]> {
    const { tables } = await groundsOf(db, texts);
    const needed = new Set(models.filter(({ table }) => tables.has(table)));
    // A set hands out what is added while it is read.
    for (const model of needed) {
        for (const source of await madeFrom(db, model, models)) needed.add(source);
    }
    return models.filter((model) => needed.has(model));
}

/** What must be known where `texts` are asked of tables that are there: what they call, and what the views call that they read. */
export async function calledBy(db: Database, texts: Iterable<string>): Promise<Grounds> {
    const asked = new Set(texts);
    const views = modelFiles().filter(({ isView }) => isView);
    for (;;) {
        const grounds = await groundsOf(db, asked);
        const read = views.filter(({ table, query }) => grounds.tables.has(table) && !asked.has(query));
        if (read.length === 0) return grounds;
        for (const { query } of read) asked.add(query);
    }
}
