import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings } from '../errors/messages.js';
import { registerStatistics } from '../stats/sqlFunctions.js';
import { buildTable, contentOf, dropStored } from './buildTable.js';
import { SUSPECTS } from './checks.js';
import { calledBy, type Grounds, groundsOf, neededFor } from './dependencies.js';
import { foundationOf, type Mark, storedMarks, storeMarks, wantedBasis } from './marks.js';
import { functionFiles, modelFiles, questionFiles } from './sqlFile.js';

/** Makes the SQL functions of `src/stats` and `files`, all of `sql/functions` where not given, known to this connection. */
export async function createFunctions(db: Database, files = functionFiles()): Promise<void> {
    registerStatistics(db.connection);
    for (const { query } of files) await db.run(query);
}

/** Tables and questions that will be asked: by their names, or as queries that name them, which may call functions. All where not given. */
export type Needs = readonly string[] | undefined;

/** Hears how many of the model tables that are needed stand. */
export type OnMade = (made: number, of: number) => void;

const everything = () => [
    ...modelFiles().map(({ table }) => table),
    ...[...questionFiles(), ...functionFiles()].flatMap(({ names }) => names),
];

async function requireLoads(db: Database): Promise<void> {
    if (!(await db.holds('loads', ['load_id']))) throw new UserError(noReadings(), 'no_readings');
}

/** Makes what is called where `needs` are asked known to this connection, whoever made the tables. */
async function createCalled(db: Database, needs: readonly string[]): Promise<void> {
    const grounds = await calledBy(db, needs);
    await createFunctions(db, grounds.functions);
    await askFirst(db, grounds);
}

async function askFirst(db: Database, { tables, questions }: Grounds): Promise<void> {
    for (const { query } of questions) await db.run(query);
    if (tables.has(SUSPECTS)) await (await import('./suspects.js')).gatherSuspects(db);
}

/**
 * Whether the model tables for `needs` match the input and `sql/`; where they do, functions and questions are ready afterwards.
 * `outside`: state of the readings outside of the database. Throws when nothing is loaded.
 */
export async function isFresh(db: Database, needs: Needs = everything(), outside?: string): Promise<boolean> {
    await requireLoads(db);
    const marks = await storedMarks(db);
    if (marks.size === 0) return false;
    const foundation = await foundationOf(db, outside);
    for (const model of await neededFor(db, needs)) {
        const mark = marks.get(model.table);
        if (mark === undefined || mark.basis !== (await wantedBasis(db, model, foundation, marks)))
            return false;
    }
    await createCalled(db, needs);
    return true;
}

/**
 * Time after which what has been made is committed: DuckDB joins what it has committed in a better order, a large build need not stay in
 * memory, and a build that is stopped keeps what it has made.
 */
const BATCH_MS = 250;

/** Drops the tables of `marks` that no file makes any more. */
async function dropForgotten(db: Database, marks: Map<string, Mark>): Promise<void> {
    const made = new Set(modelFiles().map(({ table }) => table));
    for (const table of [...marks.keys()].filter((name) => !made.has(name))) {
        await dropStored(db, table);
        marks.delete(table);
    }
}

/**
 * Brings the model tables for `needs` up to date: a table is made anew where its SQL, its functions, the input or the rows of a table
 * that it is made from have changed; tables of files that are gone go too. Returns whether it built. Functions and questions are ready
 * afterwards. Tables are committed with their marks, so that one that stands is what its mark says.
 */
export async function ensureModel(
    db: Database,
    needs: Needs = everything(),
    outside?: string,
    onMade?: OnMade,
): Promise<boolean> {
    await requireLoads(db);
    const models = await neededFor(db, needs);
    const { functions } = await groundsOf(db, [...needs, ...models.map(({ query }) => query)]);
    await createFunctions(db, functions);
    const foundation = await foundationOf(db, outside);
    const marks = await storedMarks(db);
    let built = false;
    for (let next = 0; next < models.length; ) {
        await db.transaction(async () => {
            const end = performance.now() + BATCH_MS;
            while (next < models.length && performance.now() < end) {
                const model = models[next++]!;
                const basis = await wantedBasis(db, model, foundation, marks);
                if (marks.get(model.table)?.basis === basis) continue;
                await buildTable(db, model);
                const content = model.isView ? null : await contentOf(db, model.table);
                marks.set(model.table, { basis, content });
                built = true;
                onMade?.(next, models.length);
            }
            if (!built) return;
            if (next === models.length) await dropForgotten(db, marks);
            await storeMarks(db, marks);
        });
    }
    await askFirst(db, await groundsOf(db, needs));
    return built;
}
