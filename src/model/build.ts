import { createHash } from 'node:crypto';
import { z } from 'zod';
import { tables } from '../contracts/tables.js';
import { type Database, identifier, literal } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings } from '../errors/messages.js';
import { packageVersion } from '../packageRoot.js';
import { registerStatistics } from '../stats/sqlFunctions.js';
import { madeFrom, neededFor } from './dependencies.js';
import { functionStatements, modelFiles, questionStatements, type SqlFile } from './sqlFile.js';

const described = z.object({ column_name: z.string(), column_type: z.string() });

/** Makes the SQL functions of `sql/functions` and `src/stats` known to this connection. */
export async function createFunctions(db: Database): Promise<void> {
    registerStatistics(db.connection);
    for (const statement of functionStatements()) await db.run(statement);
}

/** Makes the table macros of `sql/questions`, which need the model tables, known to this connection. */
export async function createQuestions(db: Database): Promise<void> {
    for (const statement of questionStatements()) await db.run(statement);
}

/** Runs one model file: replaces its table, checks it against the file's header and writes the header as comments. */
export async function buildTable(db: Database, model: SqlFile): Promise<void> {
    const table = identifier(model.table);
    await db.run(`create or replace table ${table} as ${model.query}`);
    const found = await db.rows(described, `select column_name, column_type from (describe ${table})`);
    const actual = found.map((column) => `${column.column_name} ${column.column_type}`).join('\n');
    const written = model.columns.map((column) => `${column.name} ${column.type}`).join('\n');
    if (actual !== written) {
        throw new Error(
            `sql/${model.file}: the header and the query disagree.\nheader:\n${written}\nquery:\n${actual}`,
        );
    }
    await db.run(`comment on table ${table} is ${literal(`${model.title}; ${model.grain}`)}`);
    for (const column of model.columns) {
        const unit = column.unit === null ? '' : ` [${column.unit}]`;
        await db.run(
            `comment on column ${table}.${identifier(column.name)} is ${literal(`${column.description}${unit}`)}`,
        );
    }
}

const inputRow = z.object({ last_load_id: z.int(), input_row_count: z.int() });
const stampRow = z.object({ table_name: z.string(), stamp: z.string() });

/**
 * Per model table, in run order, a hash of all that decides its rows: the input, its own query, the stamps of the tables
 * that it is made from, the SQL functions, and the version, which stands for the functions in `src/stats`.
 */
async function wantedStamps(db: Database, models: readonly SqlFile[]): Promise<Map<string, string>> {
    const input = await db.rows(
        inputRow,
        `select
            coalesce((select max(load_id) from loads), 0) as last_load_id,
            (${tables.map(({ kind }) => `(select count(*) from ${identifier(kind)})`).join(' + ')}) as input_row_count`,
    );
    const common = JSON.stringify([packageVersion(), functionStatements(), input]);
    const stamps = new Map<string, string>();
    for (const model of models) {
        const hash = createHash('sha256').update(common).update(model.query);
        for (const { table } of madeFrom(model, models)) hash.update(stamps.get(table)!);
        stamps.set(model.table, hash.digest('hex'));
    }
    return stamps;
}

async function storedStamps(db: Database): Promise<Map<string, string>> {
    const found = await db.cells(
        "select 1 from duckdb_columns() where table_name = 'build' and column_name = 'stamp'",
    );
    if (found.length === 0) return new Map();
    const rows = await db.rows(stampRow, 'select table_name, stamp from build');
    return new Map(rows.map((row) => [row.table_name, row.stamp]));
}

/** Model files that must run before `names`, or every model table, can be asked; functions are ready afterwards. */
async function stale(db: Database, names: readonly string[] | undefined): Promise<SqlFile[]> {
    const found = await db.cells("select 1 from duckdb_tables() where table_name = 'loads'");
    if (found.length === 0) throw new UserError(noReadings());
    await createFunctions(db);
    const models = modelFiles();
    const wanted = await wantedStamps(db, models);
    const stored = await storedStamps(db);
    const needed = names === undefined ? models : neededFor(names, models);
    return needed.filter(({ table }) => stored.get(table) !== wanted.get(table));
}

/**
 * Whether the model tables `names`, or all of them, match the input and `sql/`. The SQL functions are ready afterwards,
 * and the questions too where all tables were asked for and are fresh. Throws when nothing is loaded.
 */
export async function isFresh(db: Database, names?: readonly string[]): Promise<boolean> {
    const fresh = (await stale(db, names)).length === 0;
    if (fresh && names === undefined) await createQuestions(db);
    return fresh;
}

/**
 * Brings the model tables `names` and what they are made from, or all of them, up to date with the input: nothing to do
 * for a table when neither the input nor its SQL has changed. One transaction; returns whether it built. SQL functions
 * are ready afterwards, and the questions where all tables were asked for.
 */
export async function ensureModel(db: Database, names?: readonly string[]): Promise<boolean> {
    const toBuild = await stale(db, names);
    if (toBuild.length > 0) {
        const stamps = await wantedStamps(db, modelFiles());
        await db.transaction(async () => {
            const kept = await storedStamps(db);
            for (const model of toBuild) {
                await buildTable(db, model);
                kept.set(model.table, stamps.get(model.table)!);
            }
            await db.run('create or replace table build (table_name varchar, stamp varchar)');
            for (const [table, stamp] of kept) {
                if (!stamps.has(table)) continue;
                await db.run('insert into build values ($table, $stamp)', { table, stamp });
            }
        });
    }
    if (names === undefined) await createQuestions(db);
    return toBuild.length > 0;
}
