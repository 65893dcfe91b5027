import { renameSync, statSync } from 'node:fs';
import { extname, join } from 'node:path';
import { z } from 'zod';
import { type ShareRow, shareRow } from '../contracts/results/share.js';
import { SHARE_VERSION, shareColumns, shareKinds } from '../contracts/share.js';
import { type Database, identifier, literal } from '../db/database.js';
import { sqlType } from '../db/schema.js';
import { UsageError, UserError } from '../errors/errors.js';
import { noReadings, shareEnding, unshareable } from '../errors/messages.js';
import { shareFault } from './faults.js';
import { type ShareKey, shareKey } from './key.js';
import { queriesOf } from './sqlFiles.js';

/** Throws a {@link UsageError} unless the name of `file` ends in .parquet. */
export function requireParquet(file: string): void {
    if (extname(file).toLowerCase() !== '.parquet') throw new UsageError(shareEnding(file));
}

/** What has to be there before it can be shared. */
export const shareNeeds = (): string[] => queriesOf('share').map(({ query }) => query);

async function fillPseudonyms(db: Database, subject: 'vehicle' | 'gauge', key: ShareKey): Promise<void> {
    const rows = await db.rows(
        z.object({ name: z.string() }),
        `select distinct ${subject} as name from placements where ${subject} is not null`,
    );
    await db.run(
        `create or replace temp table ${subject}_pseudonyms as
        select unnest(from_json($rows, '[{"${subject}": "varchar", "pseudonym": "varchar"}]'), recursive := true)`,
        {
            rows: JSON.stringify(
                rows.map(({ name }) => ({ [subject]: name, pseudonym: key.pseudonym(subject, name) })),
            ),
        },
    );
}

/** What the queries of `sql/share` find besides the model tables: pseudonyms, and gauges numbered in the order of theirs. */
async function prepare(db: Database, key: ShareKey): Promise<void> {
    await db.run('create or replace temp table site_pseudonym as select $site as pseudonym', {
        site: key.pseudonym('site', ''),
    });
    await fillPseudonyms(db, 'vehicle', key);
    await fillPseudonyms(db, 'gauge', key);
    await db.run(
        `create or replace temp table gauge_numbers as
        select gauge, row_number() over (order by pseudonym) as number from gauge_pseudonyms`,
    );
}

const numberedKinds = shareKinds.filter(({ key }) => key.includes('number')).map(({ kind }) => literal(kind));

/**
 * All rows in the order of their values, so that the order tells nothing and the same content gives the same file. Kinds in which
 * equal rows are in order are numbered, so that a row that was copied shows.
 */
async function collect(db: Database): Promise<void> {
    const values = shareColumns.filter(({ name }) => name !== 'number');
    const order = values.map(({ name }) => identifier(name)).join(', ');
    const columns = shareColumns.map((column) => {
        const name = identifier(column.name);
        const value =
            column.name === 'number'
                ? `case when kind in (${numberedKinds.join(', ')}) then row_number() over (partition by kind order by ${order}) end`
                : name;
        return `cast(${value} as ${sqlType(column)}) as ${name}`;
    });
    const kinds = queriesOf('share').map(({ name, query }) => `select '${name}' as kind, * from (${query})`);
    await db.run(
        `create or replace temp table share_rows as
        select *, row_number() over () - 1 as file_row_number
        from (
            select kind, ${columns.join(', ')}
            from (${kinds.join('\nunion all by name\n')})
            order by all
        )`,
    );
}

/**
 * Writes what the pooled fits need of `db` to `file`, under pseudonyms made with the key in `keyFile`. `db` must have been opened
 * with access to `staging`, made by `stagingFolder` and removed by the caller, and with {@link shareNeeds} up to date. Throws a
 * {@link UserError} when nothing is loaded, or when a value is beyond what a shared file may hold.
 */
export async function writeShare(
    db: Database,
    keyFile: string,
    file: string,
    staging: string,
): Promise<{ row: ShareRow; key: ShareKey }> {
    const [loaded] = await db.cells('select count(*) as count from readings');
    if (loaded!.count === 0) throw new UserError(noReadings(), 'no_readings');
    const key = shareKey(keyFile);
    await prepare(db, key);
    await collect(db);
    const fault = await shareFault(db, 'share_rows');
    if (fault !== null) throw new UserError(unshareable(fault));
    const part = join(staging, 'part.parquet');
    await db.run(
        `copy (select * exclude (file_row_number) from share_rows order by file_row_number)
        to ${literal(part)}
        (format parquet, compression zstd, kv_metadata {strutmark_share: '${SHARE_VERSION}'})`,
    );
    const byteCount = statSync(part).size;
    renameSync(part, file);
    const [row] = await db.rows(
        shareRow.omit({ file: true, byte_count: true }),
        `select
            max(site) as site,
            count(distinct vehicle) as vehicle_count,
            count(*) filter (where kind = 'move') as move_count,
            count(*) filter (where kind = 'state') as state_count,
            coalesce(list_sort(list(distinct chassis) filter (where chassis is not null)), []) as chassis
        from share_rows`,
    );
    return { row: { file, byte_count: byteCount, ...row! }, key };
}
