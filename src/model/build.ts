import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings } from '../errors/messages.js';
import { registerStatistics } from '../stats/sqlFunctions.js';
import { buildTable, dropStored } from './buildTable.js';
import { SUSPECTS } from './checks.js';
import { calledBy, type Grounds, groundsOf, madeFrom, neededFor } from './dependencies.js';
import { makeTables, type Step } from './makeTables.js';
import {
    createMarks,
    dropMarks,
    foundationOf,
    type Mark,
    storedMarks,
    storeMarks,
    textsOf,
    wantedBasis,
} from './marks.js';
import { functionFiles, modelFiles, questionFiles, type SqlFile } from './sqlFile.js';

/** Makes the SQL functions of `src/stats` and `files`, all of `sql/functions` where not given, known to this connection. */
export async function createFunctions(db: Database, files = functionFiles()): Promise<void> {
    registerStatistics(db.connection);
    await runAll(db, files);
}

/** Asked as one: each question of its own takes a tenth of a millisecond more. */
const runAll = (db: Database, files: readonly { query: string }[]) =>
    db.run(files.map(({ query }) => query).join('\n;\n'));

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
export async function createCalled(db: Database, needs: readonly string[]): Promise<void> {
    const grounds = await calledBy(db, needs);
    await createFunctions(db, grounds.functions);
    await askFirst(db, grounds);
}

async function askFirst(db: Database, { tables, questions }: Grounds): Promise<void> {
    await runAll(db, questions);
    if (tables.has(SUSPECTS)) await (await import('./suspects.js')).gatherSuspects(db);
}

/** Whether the model tables for `needs` have the marks that the input and `sql/` give them. */
async function areMarked(
    db: Database,
    needs: readonly string[],
    marks: ReadonlyMap<string, Mark>,
    outside?: string,
): Promise<boolean> {
    const foundation = await foundationOf(db, outside);
    for (const model of await neededFor(db, needs)) {
        const mark = marks.get(model.table);
        if (mark === undefined || mark.basis !== (await wantedBasis(db, model, foundation, marks)))
            return false;
    }
    return true;
}

/**
 * Whether the model tables for `needs` match the input and `sql/`; where they do, functions and questions are ready afterwards.
 * `outside`: state of the readings outside of the database. Throws when nothing is loaded.
 */
export async function isFresh(db: Database, needs: Needs = everything(), outside?: string): Promise<boolean> {
    await requireLoads(db);
    const marks = await storedMarks(db);
    if (marks.size === 0) return false;
    const grounds = await calledBy(db, needs);
    const marked = areMarked(db, needs, marks, outside);
    // Made known while the marks are compared. Both come to an end, for the database may be closed after that.
    const known = createFunctions(db, grounds.functions);
    await Promise.allSettled([marked, known]);
    if (!(await marked)) return false;
    await known;
    await askFirst(db, grounds);
    return true;
}

/** Drops the tables among `marked` that no file makes any more. */
async function dropForgotten(db: Database, marked: Iterable<string>): Promise<void> {
    const made = new Set(modelFiles().map(({ table }) => table));
    const forgotten = [...marked].filter((name) => !made.has(name));
    if (forgotten.length === 0) return;
    await db.transaction(async () => {
        for (const table of forgotten) await dropStored(db, table);
        await dropMarks(db, forgotten);
    });
}

/**
 * Brings the model tables for `needs` up to date: a table is made anew where its SQL, its functions, the input or the rows of a table
 * that it is made from have changed; tables of files that are gone go too. Returns whether it built. Functions and questions are ready
 * afterwards. Tables are committed with their marks, so that one that stands is what its mark says. `besides`: connections to the same
 * database that make tables at the same time; `areApart`: see {@link makeTables}.
 */
export async function ensureModel(
    db: Database,
    needs: Needs = everything(),
    outside?: string,
    onMade?: OnMade,
    besides: readonly Database[] = [],
    areApart = false,
): Promise<boolean> {
    await requireLoads(db);
    const models = await neededFor(db, needs);
    const { functions } = await groundsOf(db, [...needs, ...models.map(({ query }) => query)]);
    const connections = [db, ...besides];
    await Promise.all(connections.map((one) => createFunctions(one, functions)));
    const foundation = await foundationOf(db, outside);
    const marks = await storedMarks(db);
    if (marks.size === 0) await createMarks(db);
    const steps: Step[] = [];
    for (const model of models) steps.push({ model, sources: await madeFrom(db, model, models) });
    const followed = new Set<SqlFile>();
    for (const model of modelFiles()) for (const source of await madeFrom(db, model)) followed.add(source);
    const texts = textsOf(foundation);
    let [count, built] = [0, false];
    /** The content of the mark. A view, which stores no rows, may stay where only rows have changed. */
    const build = async (maker: Database, model: SqlFile) => {
        const { table, isView } = model;
        if (isView && marks.get(table)?.content === texts) return texts;
        const content = await buildTable(maker, model, !isView && followed.has(model));
        return isView ? texts : content;
    };
    const make = async (maker: Database, model: SqlFile) => {
        count++;
        const basis = await wantedBasis(maker, model, foundation, marks);
        if (marks.get(model.table)?.basis === basis) return false;
        built = true;
        marks.set(model.table, { basis, content: await build(maker, model) });
        onMade?.(count, models.length);
        return true;
    };
    const store = (maker: Database, made: readonly SqlFile[]) =>
        storeMarks(maker, new Map(made.map(({ table }) => [table, marks.get(table)!])));
    await makeTables(connections, steps, make, store, areApart);
    if (built) await dropForgotten(db, marks.keys());
    await askFirst(db, await groundsOf(db, needs));
    return built;
}
