import { existsSync, readdirSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { UserError } from '../errors/errors.js';
import { noReadings } from '../errors/messages.js';
import { Database, type OpenOptions } from './database.js';
import { holdsInputColumns } from './inputColumns.js';
import { isRunning } from './isRunning.js';
import { SCHEMA_VERSION } from './migrations.js';
import { placeFile } from './placeFile.js';
import { schemaVersion } from './schemaVersion.js';

export interface OpenDatabaseOptions extends OpenOptions {
    /** Hears what people should know, such as that an older database was brought up to date. */
    say?: ((text: string) => void) | undefined;
}

/** Makes the tables of an empty database; what they are takes a while to read, and an answer from a database does without. */
async function createTables(db: Database): Promise<void> {
    const { createSchema } = await import('./schema.js');
    await createSchema(db);
}

/** Removes what processes that were killed while they made `file` have left. */
function removeStaleParts(file: string): void {
    const start = `${basename(file)}.new-`;
    try {
        for (const name of readdirSync(dirname(file))) {
            if (!name.startsWith(start)) continue;
            const pid = /^(\d+)(\.wal)?$/.exec(name.slice(start.length))?.[1];
            if (pid !== undefined && !isRunning(Number(pid)))
                rmSync(join(dirname(file), name), { force: true });
        }
    } catch {
        // A folder that may not be listed is no reason not to make the database.
    }
}

/** Makes the database file with its empty tables; nothing of it is there under that name until it is whole. */
async function makeDatabase({ file, isSmall = false }: OpenOptions): Promise<void> {
    const suffix = `.new-${process.pid}`;
    const part = file + suffix;
    removeStaleParts(file);
    try {
        const db = await Database.open({ file: part, mode: 'create', isSmall });
        try {
            await createTables(db);
            // Where the disk is full, closing would leave the tables in the log, and say nothing.
            await db.run('checkpoint');
        } finally {
            db.close();
        }
        placeFile(part, file);
    } catch (error) {
        // Messages are about the name that was asked for.
        if (error instanceof UserError) throw new UserError(error.message.replaceAll(suffix, ''), error.code);
        throw error;
    } finally {
        for (const rest of [part, `${part}.wal`]) rmSync(rest, { force: true });
    }
}

/** The schema version of `db`, which is made where it holds no tables; closes it where that fails. */
async function versionOf(db: Database, mode: OpenOptions['mode']): Promise<number> {
    try {
        if (mode === 'create') await createTables(db);
        const version = await schemaVersion(db);
        if (version === null) throw new UserError(noReadings(), 'no_readings');
        return version;
    } catch (error) {
        db.close();
        throw error;
    }
}

/**
 * Opens a database with the tables of this version. `create` makes a missing one; one of an older schema, or without
 * a column of the contract, is migrated first, whatever the mode. Throws a {@link UserError} on one of a newer version or of another program, and, but with
 * `create`, where it is missing or holds no tables.
 */
export async function openDatabase({ say, ...options }: OpenDatabaseOptions): Promise<Database> {
    const { file, mode } = options;
    if (mode === 'create' && file !== ':memory:' && !existsSync(file)) await makeDatabase(options);
    for (;;) {
        const db = await Database.open(options);
        const version = await versionOf(db, mode);
        if (version === SCHEMA_VERSION && (await holdsInputColumns(db))) return db;
        db.close();
        const { migrateFile } = await import('./migrate.js');
        await migrateFile(options, version, (text) => say?.(text));
    }
}
