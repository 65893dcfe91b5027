import { UserError } from '../errors/errors.js';
import { newerSchema, notADatabase } from '../errors/messages.js';
import type { Database } from './database.js';
import { SCHEMA_VERSION } from './migrations.js';

/** The table that says what the database is. */
export const META = 'meta';

/**
 * Schema version of the database, null when it holds no table at all. Throws a {@link UserError} on a database that a
 * newer version, or another program, wrote.
 */
export async function schemaVersion(db: Database): Promise<number | null> {
    if (!(await db.holds(META, ['name', 'value']))) {
        if ((await db.cells('select 1 from duckdb_tables() limit 1')).length === 0) return null;
    } else {
        const [row] = await db.cells(`select value from ${META} where name = 'schema_version'`);
        const version = Number(row?.value);
        if (version > SCHEMA_VERSION)
            throw new UserError(newerSchema(db.file, version, SCHEMA_VERSION), 'newer_database');
        if (Number.isInteger(version)) return version;
    }
    throw new UserError(notADatabase(db.file, 'it holds the tables of another program'), 'not_a_database');
}
