import { z } from 'zod';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { unknownName } from '../errors/messages.js';

const names = z.object({ name: z.string() });

/** Distinct values of `column` of an input table, in order. */
export async function knownNames(db: Database, table: string, column: string): Promise<string[]> {
    const rows = await db.rows(
        names,
        `select distinct ${column} as name from ${table} where ${column} is not null order by 1`,
    );
    return rows.map((row) => row.name);
}

/** Throws a {@link UserError} that lists the known names unless `name` is one of `table.column`. */
export async function requireName(db: Database, table: string, column: string, name: string): Promise<void> {
    const found = await db.cells(`select 1 from ${table} where ${column} = $name limit 1`, { name });
    if (found.length === 0)
        throw new UserError(unknownName(column, name, await knownNames(db, table, column)));
}
