import { z } from 'zod';
import { type Database, identifier, literal } from '../db/database.js';
import { voidedTable } from '../db/schema.js';
import { rowsStayVoided } from '../errors/forgetMessages.js';
import type { FileLoad } from './fileLoad.js';
import { listVoidings } from './forget/voidings.js';
import { contentHash, keyHash } from './keySql.js';

const stillVoided = z.object({ voiding_id: z.int(), row_count: z.int() });

/** Rows that stay voided, by voiding. */
type StillVoided = readonly z.infer<typeof stillVoided>[];

/** Query for the hashes of key and content of rows that are voided. */
export function voidedHashes({ contract }: Pick<FileLoad, 'contract'>): string {
    return `select ${keyHash(contract)} as key_hash, ${contentHash(contract)} as content_hash, voiding_id, with_file, load_id
        from ${identifier(voidedTable(contract.kind))}
        where brought_back_at is null`;
}

/** SQL condition for rows that {@link voidedHashes} may hold. */
export function isAmong(load: Pick<FileLoad, 'contract'>, hashes: string): string {
    const { contract } = load;
    return `(${keyHash(contract)}, ${contentHash(contract)}) in (select (key_hash, content_hash) from ${hashes})`;
}

/**
 * Takes the rows of the file that are voided out again: a row that was voided by itself, whichever file brings it, and one that was
 * voided with its whole file where these are the bytes of that file. To be run while the rows of the file are in the table.
 */
export async function leaveVoided(db: Database, load: FileLoad, sha256: string): Promise<StillVoided> {
    const { contract, loadId } = load;
    const table = identifier(contract.kind);
    const any = await db.cells(`select 1 from (${voidedHashes(load)}) limit 1`);
    if (any.length === 0) return [];
    await db.run(
        `create or replace temp table still_voided as
        select key_hash, content_hash, max(voiding_id) as voiding_id
        from (${voidedHashes(load)})
        where not with_file or load_id in (select load_id from loads where sha256 = ${literal(sha256)})
        group by key_hash, content_hash`,
    );
    const rows = await db.rows(
        stillVoided,
        `select voiding_id, count(*) as row_count
        from ${table} as held
        inner join still_voided
            on key_hash = ${keyHash(contract)} and content_hash = ${contentHash(contract)}
        where held.load_id = ${loadId}
        group by voiding_id
        order by voiding_id`,
    );
    if (rows.length > 0) {
        await db.run(`delete from ${table} where load_id = ${loadId} and ${isAmong(load, 'still_voided')}`);
    }
    return rows;
}

/** What people should know of rows that stay voided. */
export async function stillVoidedNotes(db: Database, still: StillVoided): Promise<string[]> {
    if (still.length === 0) return [];
    const voidings = await listVoidings(db);
    return still.map(({ voiding_id, row_count }) => {
        const { voided_by, because } = voidings.find((one) => one.voiding_id === voiding_id)!;
        return rowsStayVoided(row_count, voiding_id, voided_by, because);
    });
}
