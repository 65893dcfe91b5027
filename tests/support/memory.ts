import { tableOf, tables } from '../../src/contracts/tables.js';
import { Database, identifier } from '../../src/db/database.js';
import { createSchema } from '../../src/db/schema.js';
import { ensureModel } from '../../src/model/build.js';

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

/** A database in memory that holds `input` with every model table built, or only `names` and what they are made from. */
export async function modelOf(
    input: Readonly<Record<string, Rows>>,
    threads?: number,
    names?: readonly string[],
): Promise<Database> {
    const db = await emptyDatabase(threads);
    for (const { kind } of tables) await insertRows(db, kind, input[kind] ?? []);
    await ensureModel(db, names);
    return db;
}
