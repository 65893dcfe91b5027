import { z } from 'zod';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { unknownName } from '../errors/messages.js';
import { groundsOf } from './dependencies.js';

const names = z.object({ name: z.string() });

/** Distinct values of `column` of an input table, in order. */
export async function knownNames(db: Database, table: string, column: string): Promise<string[]> {
    const rows = await db.rows(
        names,
        `select distinct ${column} as name from ${table} where ${column} is not null order by 1`,
    );
    return rows.map((row) => row.name);
}

/** The name of `table.column` that `name` most likely means: another spelling, or with the same digits and hardly another letter; else null. */
async function meantName(db: Database, table: string, column: string, name: string): Promise<string | null> {
    const { functions } = await groundsOf(db, ['select name_key(name)']);
    for (const { query } of functions) await db.run(query);
    const [found] = await db.rows(
        names,
        `with
        keyed as (
            select name, name_key(name) as key, name_key($name) as asked_key
            from (select distinct ${column} as name from ${table} where ${column} is not null)
        )
        select name
        from keyed
        where regexp_replace(key, '[^0-9]', '', 'g') = regexp_replace(asked_key, '[^0-9]', '', 'g')
            and damerau_levenshtein(key, asked_key) <= case when length(asked_key) < 4 then 0 else least(length(asked_key), 8) // 4 end
        order by damerau_levenshtein(key, asked_key), damerau_levenshtein(name, $name), name
        limit 1`,
        { name },
    );
    return found?.name ?? null;
}

/** Throws a {@link UserError} that lists the known names unless `name` is one of `table.column`. */
export async function requireName(db: Database, table: string, column: string, name: string): Promise<void> {
    const found = await db.cells(`select 1 from ${table} where ${column} = $name limit 1`, { name });
    if (found.length > 0) return;
    const meant = await meantName(db, table, column, name);
    throw new UserError(
        unknownName(column, name, await knownNames(db, table, column), meant),
        'unknown_name',
    );
}
