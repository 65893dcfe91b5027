import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings } from '../errors/messages.js';
import { registerStatistics } from '../stats/sqlFunctions.js';
import { functionsFor, neededFor, questionsFor } from './dependencies.js';
import { inputState, isCurrent, storedMarks, storeMarks, wantedMark } from './marks.js';
import { Renewal } from './renewal.js';
import { functionFiles, modelFiles, questionFiles } from './sqlFile.js';

/** Makes the SQL functions of `src/stats`, and those of `sql/functions` that `queries` call or all, known to this connection. */
export async function createFunctions(db: Database, queries?: Iterable<string>): Promise<void> {
    registerStatistics(db.connection);
    const files = queries === undefined ? functionFiles() : functionsFor(queries, functionFiles());
    for (const { query } of files) await db.run(query);
}

/** Tables and questions that will be asked: by their names, or as queries that name them, which may call functions. All where not given. */
export type Needs = readonly string[] | undefined;

function filesFor(needs: Needs) {
    if (needs === undefined) return { models: modelFiles(), questions: questionFiles() };
    const questions = questionsFor(needs, questionFiles());
    return { models: neededFor(needs, questions, modelFiles()), questions };
}

async function requireLoads(db: Database): Promise<void> {
    if (!(await db.holds('loads', ['load_id']))) throw new UserError(noReadings());
}

/**
 * Whether the model tables for `needs` match the input and `sql/`; where they do, functions and questions are ready afterwards.
 * `outside`: state of the readings outside of the database. Throws when nothing is loaded.
 */
export async function isFresh(db: Database, needs?: Needs, outside?: string): Promise<boolean> {
    await requireLoads(db);
    const { models, questions } = filesFor(needs);
    const input = await inputState(db);
    const marks = await storedMarks(db);
    const fresh = models.every((model) => {
        const mark = marks.get(model.table);
        return mark !== undefined && isCurrent(mark, wantedMark(model, models, input, marks, outside));
    });
    if (!fresh) return false;
    const views = models.filter(({ isView }) => isView);
    await createFunctions(db, needs && [...needs, ...[...views, ...questions].map(({ query }) => query)]);
    for (const { query } of questions) await db.run(query);
    return true;
}

/**
 * Time after which what has been made is committed: DuckDB joins what it has committed in a better order, a large build need not stay in
 * memory, and a build that is stopped keeps what it has made.
 */
const BATCH_MS = 250;

/**
 * Brings the model tables for `needs` up to date with the input: nothing to do for a table when neither the input nor its SQL has
 * changed, and only the touched chassis where only readings came; tables of files that are gone go too. Returns whether it built.
 * Functions and questions are ready afterwards. Each table is committed with its mark, so that one that stands is what its mark says.
 */
export async function ensureModel(db: Database, needs?: Needs, outside?: string): Promise<boolean> {
    await requireLoads(db);
    const { models, questions } = filesFor(needs);
    await createFunctions(db, needs && [...needs, ...[...models, ...questions].map(({ query }) => query)]);
    const input = await inputState(db);
    const renewal = new Renewal(db, input, await storedMarks(db), outside);
    let built = false;
    for (let next = 0; next < models.length; ) {
        await db.transaction(async () => {
            let end = performance.now() + BATCH_MS;
            const pause = async () => {
                if (performance.now() < end) return;
                if (built) await storeMarks(db, renewal.marks);
                await db.run('commit');
                await db.run('begin transaction');
                end = performance.now() + BATCH_MS;
            };
            while (next < models.length && performance.now() < end) {
                if (await renewal.bring(models[next++]!, pause)) built = true;
            }
            if (!built) return;
            if (next === models.length) await renewal.finish();
            await storeMarks(db, renewal.marks);
        });
    }
    for (const { query } of questions) await db.run(query);
    return built;
}
