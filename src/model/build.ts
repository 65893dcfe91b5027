import { createHash } from 'node:crypto';
import { z } from 'zod';
import { tables } from '../contracts/tables.js';
import { type Database, identifier, literal } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings } from '../errors/messages.js';
import { packageVersion } from '../packageRoot.js';
import { registerStatistics } from '../stats/sqlFunctions.js';
import { functionStatements, modelFiles, questionStatements, type SqlFile } from './sqlFile.js';

const described = z.object({ column_name: z.string(), column_type: z.string() });
const stampRow = z.object({ sql_hash: z.string(), last_load_id: z.int(), input_row_count: z.int() });

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

/** Of all that decides the tables besides the input; the version stands for the functions in `src/stats`. */
function sqlHash(models: readonly SqlFile[]): string {
    const hash = createHash('sha256').update(packageVersion());
    for (const text of [...functionStatements(), ...models.map((model) => model.query)]) hash.update(text);
    return hash.digest('hex');
}

async function inputStamp(db: Database, models: readonly SqlFile[]): Promise<z.infer<typeof stampRow>> {
    const [row] = await db.rows(
        z.object({ last_load_id: z.int(), input_row_count: z.int() }),
        `select
            coalesce((select max(load_id) from loads), 0) as last_load_id,
            (${tables.map(({ kind }) => `(select count(*) from ${identifier(kind)})`).join(' + ')}) as input_row_count`,
    );
    return { sql_hash: sqlHash(models), ...row! };
}

async function storedStamp(db: Database): Promise<z.infer<typeof stampRow> | null> {
    const found = await db.cells("select 1 from duckdb_tables() where table_name = 'build'");
    if (found.length === 0) return null;
    const [row] = await db.rows(stampRow, 'select sql_hash, last_load_id, input_row_count from build');
    return row ?? null;
}

/** Whether the model tables match the input and `sql/`; makes the SQL functions, and on fresh tables the questions, ready. Throws when nothing is loaded. */
export async function isFresh(db: Database): Promise<boolean> {
    const found = await db.cells("select 1 from duckdb_tables() where table_name = 'loads'");
    if (found.length === 0) throw new UserError(noReadings());
    await createFunctions(db);
    const wanted = await inputStamp(db, modelFiles());
    const fresh = JSON.stringify(await storedStamp(db)) === JSON.stringify(wanted);
    if (fresh) await createQuestions(db);
    return fresh;
}

/**
 * Brings every model table up to date with the input: nothing to do when neither the input nor `sql/` has changed.
 * One transaction; returns whether it built. SQL functions and questions are ready afterwards either way.
 */
export async function ensureModel(db: Database): Promise<boolean> {
    if (await isFresh(db)) return false;
    const models = modelFiles();
    const stamp = await inputStamp(db, models);
    await db.transaction(async () => {
        for (const model of models) await buildTable(db, model);
        await db.run(
            `create or replace table build as select
                $sql_hash::varchar as sql_hash, $last_load_id::bigint as last_load_id, $input_row_count::bigint as input_row_count`,
            stamp,
        );
    });
    await createQuestions(db);
    return true;
}
