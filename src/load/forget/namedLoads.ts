import { z } from 'zod';
import { tables } from '../../contracts/tables.js';
import { type Database, identifier } from '../../db/database.js';
import { UserError } from '../../errors/errors.js';
import { severalLoads, unknownLoad } from '../../errors/forgetMessages.js';
import { loadPath } from '../loadPath.js';

const namedLoad = z.object({
    load_id: z.int(),
    file: z.string(),
    kind: z.string(),
    loaded_at: z.string(),
    duplicate_count: z.int(),
    /** Rows of it that stand in the table of its kind. */
    row_count: z.int(),
});

const columns = Object.keys(namedLoad.shape).join(', ');

export type NamedLoad = z.infer<typeof namedLoad>;

/** Query for every load with the rows that stand of it. */
const loads = () => `
    with standing as (
        ${tables.map(({ kind }) => `select load_id, count(*) as row_count from ${identifier(kind)} group by load_id`).join(' union all ')}
    )
    select load_id, file, path, kind, left(cast(loaded_at as varchar), 16) as loaded_at, duplicate_count, coalesce(row_count, 0) as row_count
    from loads
    left join standing using (load_id)`;

/**
 * The loads that `name` means: those of the file of that name or path; where there is none, those of files of that name in any folder;
 * where there is none either, the load of that number.
 */
export async function namedLoads(db: Database, name: string): Promise<NamedLoad[]> {
    const number = /^\d{1,9}$/.test(name) ? Number(name) : null;
    const found = await db.rows(
        namedLoad.extend({ meant_by: z.int() }),
        `select ${columns},
            case when file = $name or path = $path then 1 when regexp_extract(path, '[^/\\\\]+$') = $name then 2 when load_id = $number then 3 end as meant_by
        from (${loads()})
        where meant_by is not null
        order by load_id`,
        { name, path: loadPath(name), number },
    );
    const first = Math.min(...found.map(({ meant_by }) => meant_by));
    return found.filter(({ meant_by }) => meant_by === first);
}

/** A {@link UserError} that lists the loads that there are. */
export async function noSuchLoad(db: Database, name: string): Promise<UserError> {
    const all = await db.rows(namedLoad, `select ${columns} from (${loads()}) order by load_id desc`);
    return new UserError(unknownLoad(name, all), 'unknown_name');
}

/**
 * The one load that `name` means among those of which rows stand. Throws a {@link UserError} where there is none, or where several files
 * of that name have been loaded.
 */
export async function oneLoad(db: Database, name: string): Promise<NamedLoad> {
    const found = await namedLoads(db, name);
    if (found.length === 0) throw await noSuchLoad(db, name);
    const standing = found.filter(({ row_count }) => row_count > 0);
    if (standing.length > 1) throw new UserError(severalLoads(name, standing));
    return standing[0] ?? found[0]!;
}
