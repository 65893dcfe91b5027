import { createHash } from 'node:crypto';
import { tableOf, tables } from '../../src/contracts/tables.js';
import { Database, identifier } from '../../src/db/database.js';
import { createSchema, tableDefinitions } from '../../src/db/schema.js';
import type { Cell } from '../../src/db/values.js';
import { ensureModel } from '../../src/model/build.js';
import { functionFiles, modelFiles, questionFiles } from '../../src/model/sqlFile.js';

type Value = string | number | null | undefined;
export type Rows = readonly Readonly<Record<string, Value>>[];

/** An empty database in memory with the input tables. One thread: tests run beside each other. */
export async function emptyDatabase(threads = 1): Promise<Database> {
    const db = await Database.open({ file: ':memory:', mode: 'create', threads });
    await createSchema(db);
    return db;
}

/** Puts `rows` into the input table `kind` as if load `loadId` had brought them, lines numbered from 2. */
export async function insertRows(db: Database, kind: string, rows: Rows, loadId = 1): Promise<void> {
    const { columns } = tableOf(kind);
    await db.run(
        `create or replace temp table incoming (${columns.map(({ name }) => `${identifier(name)} varchar`).join(', ')}, line integer)`,
    );
    const appender = await db.connection.createAppender('incoming');
    for (const [index, row] of rows.entries()) {
        for (const { name } of columns) {
            const value = row[name];
            if (value === null || value === undefined || value === '') appender.appendNull();
            else appender.appendVarchar(String(value));
        }
        appender.appendInteger(index + 2);
        appender.endRow();
    }
    appender.closeSync();
    const cast = {
        text: 'varchar',
        number: 'double',
        integer: 'integer',
        choice: 'varchar',
        datetime: 'varchar',
    };
    const list = columns.map(({ name }) => identifier(name)).join(', ');
    await db.run(
        `insert into ${identifier(kind)} (${list}, source_file, source_line, load_id)
        select ${columns.map(({ name, type }) => `cast(${identifier(name)} as ${cast[type]})`).join(', ')}, '${kind}.csv', line, ${loadId}
        from incoming`,
    );
}

/** Tables that stay in a database that is used again; all but those of the model and these two are emptied. */
const lasting = new Set(['build', 'meta']);
const inputs = tableDefinitions.map(({ name }) => name).filter((name) => !lasting.has(name));
const known = new Set([...lasting, ...inputs, ...modelFiles().map(({ table }) => table)]);

const macros = new Set([...functionFiles(), ...questionFiles()].map(({ query }) => query));

/** Makes `db` run each file of macros once, or again where a test has made a macro of its own: they stay as they are. */
function remembering(db: Database): Database {
    const made = new Set<string>();
    const { run } = db;
    db.run = async (sql, parameters) => {
        if (made.has(sql)) return;
        await run.call(db, sql, parameters);
        if (macros.has(sql)) made.add(sql);
        else if (/ macro /i.test(sql)) made.clear();
    };
    return db;
}

/** Takes the input out of `db` and whatever a test made beside it; where it changed anything, the marks of the model tables count no more. */
export async function empty(db: Database): Promise<void> {
    const there = await db.cells(
        `select database_name, table_name, temporary, 'table' as kind from duckdb_tables()
        union all select database_name, view_name, temporary, 'view' from duckdb_views() where not internal`,
    );
    const strange = there.filter(({ table_name, temporary }) => temporary || !known.has(String(table_name)));
    await db.run(
        [
            ...strange.map(
                ({ database_name, table_name, kind }) =>
                    `drop ${kind} ${identifier(String(database_name))}.${identifier(String(table_name))}`,
            ),
            ...inputs.map((name) => `delete from ${identifier(name)}`),
            ...there
                .filter(({ table_name }) => table_name === 'build' && changed.has(db))
                .map(() => "update build set basis = ''"),
        ].join(';\n'),
    );
}

/** The databases that were closed last, by what they were made of: to fill one anew takes a third of making another. */
const spare: { key: string; db: Database }[] = [];
const SPARE_COUNT = 8;

/** Rows that pass through one database: those taken out still cost a little. */
const ROWS_EACH = 100_000;
const rowsThrough = new WeakMap<Database, number>();

/** Databases in which a test ran a statement that may change a table of the model. */
const changed = new WeakSet<Database>();

/** Databases in which a test dropped a table or view of the model: they are not used again. */
const dropped = new WeakSet<Database>();

/** Text that changes with the readings of `input`: marks of tables tell readings by their lines, which are the same in all tests. */
export const stateOf = (input: Readonly<Record<string, Rows>>): string =>
    createHash('sha256')
        .update(JSON.stringify(input.readings ?? []))
        .digest('hex');

/** `db`, which its closing keeps for {@link spareDatabase} of the same `key`. */
export function kept(db: Database, key: string, rowCount: number): Database {
    const count = (rowsThrough.get(db) ?? 0) + rowCount;
    rowsThrough.set(db, count);
    Reflect.deleteProperty(db, 'close');
    changed.delete(db);
    if (count < ROWS_EACH) {
        const { run } = db;
        db.run = (sql, parameters) => {
            if (!/^(\s|--.*\n)*(select|with|copy|create or replace temp)\b/i.test(sql)) changed.add(db);
            if (/^\s*drop (view|table) /i.test(sql)) dropped.add(db);
            return run.call(db, sql, parameters);
        };
        db.close = () => {
            db.close = () => undefined;
            db.run = run;
            if (dropped.has(db)) return closeForGood(db);
            spare.push({ key, db });
            if (spare.length > SPARE_COUNT) closeForGood(spare.shift()!.db);
        };
    }
    return db;
}

function closeForGood(db: Database): void {
    Reflect.deleteProperty(db, 'close');
    db.close();
}

/** A database that was closed and is empty again, where there is one of that key. */
export async function spareDatabase(key: string): Promise<Database | undefined> {
    const at = spare.findIndex((one) => one.key === key);
    if (at < 0) return undefined;
    const [{ db }] = spare.splice(at, 1) as [(typeof spare)[number]];
    await empty(db);
    return db;
}

/**
 * A database in memory that holds `input` with every model table built, or only `names` and what they are made from; queries name what they
 * ask.
 */
export async function modelOf(
    input: Readonly<Record<string, Rows>>,
    threads?: number,
    names?: readonly string[],
): Promise<Database> {
    const key = JSON.stringify([threads, names]);
    const db = (await spareDatabase(key)) ?? remembering(await emptyDatabase(threads));
    let rowCount = 0;
    for (const { kind } of tables) {
        const rows = input[kind] ?? [];
        if (rows.length > 0) await insertRows(db, kind, rows);
        rowCount += rows.length;
    }
    await ensureModel(db, names, stateOf(input));
    return kept(db, key, rowCount);
}

/** The rows of `query` over `input`; only what it names is made. */
export async function rowsOf(
    input: Readonly<Record<string, Rows>>,
    query: string,
): Promise<Record<string, Cell>[]> {
    const db = await modelOf(input, undefined, [query]);
    try {
        return await db.cells(query);
    } finally {
        db.close();
    }
}
