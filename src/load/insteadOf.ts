import { z } from 'zod';
import type { ForgottenRow } from '../contracts/results/forget.js';
import type { LoadRow } from '../contracts/results/load.js';
import { type Database, identifier } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { asideInstead, duplicatesInstead, otherKindInstead, tookPlace } from '../errors/forgetMessages.js';
import type { FileLoad } from './fileLoad.js';
import { type NamedLoad, oneLoad } from './forget/namedLoads.js';
import { type Reason, voidRows } from './forget/voidRows.js';
import { keyHash } from './keySql.js';
import type { PreparedFile } from './prepare.js';

/** The earlier load that a file stands in for. */
export interface Instead {
    load: NamedLoad;
    /** As it was named. */
    name: string;
    reason: Reason;
}

/** Finds the load that `name` means; throws a {@link UserError} where it is not one, or of another kind than the file. */
export async function insteadOf(
    db: Database,
    name: string,
    { source, header }: PreparedFile,
    reason: Reason,
): Promise<Instead> {
    const load = await oneLoad(db, name);
    const { kind } = header.contract;
    if (load.kind !== kind) throw new UserError(otherKindInstead(source.file, kind, name, load.kind));
    return { load, name, reason };
}

/**
 * Voids the rows of the earlier load whose keys the file does not hold, and returns them. To be run while the rows of the file stand
 * beside the stored ones.
 */
export async function voidGone(
    db: Database,
    { contract, loadId, file }: FileLoad,
    { load, name, reason }: Instead,
): Promise<ForgottenRow[]> {
    const held = `select ${keyHash(contract)} from ${identifier(contract.kind)} where load_id = ${loadId}`;
    const condition = `load_id = ${load.load_id} and ${keyHash(contract)} not in (${held})`;
    return voidRows(
        db,
        [{ contract, condition, withFile: false }],
        `load ${file} --instead-of ${name}`,
        reason,
    );
}

const SHOWN = 5;
const aside = z.object({ line: z.int(), column_name: z.string().nullable(), reason: z.string() });

/** Throws a {@link UserError} where rows of the file were set aside: the rows that they stand for would look gone. */
export async function requireNoneAside(
    db: Database,
    { loadId, file }: FileLoad,
    count: number,
    conflicts: boolean,
): Promise<void> {
    if (count === 0) return;
    const first = await db.rows(
        aside,
        `select line, column_name, reason from rejects where load_id = ${loadId} order by line limit ${SHOWN}`,
    );
    const lines = first.map(
        ({ line, column_name, reason }) => `line ${line}: ${column_name ?? 'the row'}: ${reason}`,
    );
    throw new UserError(asideInstead(file, count, lines, conflicts));
}

/** What people should know of a file that took the place of an earlier load. */
export function insteadNotes(row: LoadRow, { load, name }: Instead, dryRun: boolean): string[] {
    const [unchanged, gone] = [row.unchanged_count ?? 0, row.gone_count ?? 0];
    const changed = row.replaced_count - unchanged;
    const added = row.loaded_count - row.replaced_count;
    return [
        tookPlace({ file: row.file, load: name, unchanged, changed, added, gone }, dryRun),
        ...(load.duplicate_count > 0 ? [duplicatesInstead(name, load.duplicate_count)] : []),
    ];
}
