import { closeSync, constants, copyFileSync, fsyncSync, openSync, rmSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { z } from 'zod';
import { migrated, noBackup } from '../errors/databaseMessages.js';
import { UserError } from '../errors/errors.js';
import { systemReason } from '../errors/systemReason.js';
import { Database, identifier, type OpenOptions } from './database.js';
import { holdsInputColumns } from './inputColumns.js';
import { migrations, SCHEMA_VERSION } from './migrations.js';
import { placeFile } from './placeFile.js';
import { describeTables, makeTables, tableDefinitions } from './schema.js';
import { schemaVersion } from './schemaVersion.js';

/**
 * Gives every table the columns of a new database, in their order; those that the contract has gained since, and that may be
 * blank, are NULL. A table that differs otherwise is a bug.
 */
async function orderColumns(db: Database): Promise<void> {
    for (const { name: table_name, columns, mayBeAdded } of tableDefinitions) {
        const wanted = columns.map(([name]) => name);
        const found = await db.rows(
            z.object({ name: z.string() }),
            'select column_name as name from duckdb_columns() where table_name = $table_name order by column_index',
            { table_name },
        );
        const names = found.map(({ name }) => name);
        if (names.length === 0 || names.join() === wanted.join()) continue;
        const isOdd = (name: string) => !wanted.includes(name);
        const isMissing = (name: string) => !names.includes(name) && !mayBeAdded.has(name);
        if (names.some(isOdd) || wanted.some(isMissing)) {
            throw new Error(`no migration brings ${table_name} (${names.join()}) to ${wanted.join()}`);
        }
        const list = columns.map(([name, type]) =>
            names.includes(name) ? identifier(name) : `cast(null as ${type}) as ${identifier(name)}`,
        );
        const table = identifier(table_name);
        await db.run(`create or replace table ${table} as select ${list.join(', ')} from ${table}`);
    }
}

async function applyMigrations(db: Database, from: number): Promise<void> {
    for (const { to, statements } of migrations) {
        if (to > from) for (const statement of statements) await db.run(statement);
    }
    await orderColumns(db);
    await describeTables(db);
    if (!(await holdsInputColumns(db))) {
        throw new Error('shared/templates has a column that src/contracts lacks: npm run shared');
    }
    await db.run("update meta set value = $version where name = 'schema_version'", {
        version: String(SCHEMA_VERSION),
    });
}

/** Makes or migrates the tables where they are not of this version, or lack a column of the contract; to be run in a transaction. */
export async function ensureSchema(db: Database): Promise<void> {
    const found = await schemaVersion(db);
    if (found === null) await makeTables(db);
    else if (found < SCHEMA_VERSION || !(await holdsInputColumns(db))) await applyMigrations(db, found);
}

function sync(path: string): void {
    const handle = openSync(path, 'r');
    try {
        fsyncSync(handle);
    } finally {
        closeSync(handle);
    }
}

/** A copy of `file` beside it, under a name that no other file has: `NAME.v1.backup`, `NAME.v1.backup.2`. */
function backUp(file: string, from: number): string {
    const first = `${file}.v${from}.backup`;
    const part = `${first}.part-${process.pid}`;
    try {
        copyFileSync(file, part, constants.COPYFILE_EXCL | constants.COPYFILE_FICLONE);
        sync(part);
        let backup = first;
        for (let n = 2; !placeFile(part, backup); n++) backup = `${first}.${n}`;
        sync(dirname(resolve(file)));
        return backup;
    } catch (error) {
        rmSync(part, { force: true });
        throw new UserError(noBackup(file, first, systemReason(error)), 'cannot_write');
    }
}

function stampOf(file: string): string {
    const { ino, size, mtimeNs } = statSync(file, { bigint: true });
    return `${ino} ${size} ${mtimeNs}`;
}

/**
 * Brings the database `file` of schema `from` to the tables of this version, in one transaction, once a copy stands beside it;
 * `say` hears of it. Nothing happens where another process has written to the file meanwhile: look at it again.
 */
export async function migrateFile(
    { file, patience }: OpenOptions,
    from: number,
    say: (text: string) => void,
): Promise<void> {
    const writing: OpenOptions = { file, mode: 'write', patience };
    const settling = await Database.open(writing);
    try {
        // What stands in the log only would be missing in the copy.
        await settling.run('checkpoint');
    } finally {
        settling.close();
    }
    // The file is closed while it is copied: to close a copy of it would give up the lock that DuckDB holds.
    const before = stampOf(file);
    const backup = backUp(file, from);
    const db = await Database.open(writing);
    try {
        if (stampOf(file) !== before) return rmSync(backup);
        await db.transaction(() => ensureSchema(db));
    } finally {
        db.close();
    }
    say(migrated(file, from, SCHEMA_VERSION, backup));
}
