import type { TableContract } from '../contracts/table.js';
import { type Database, identifier, literal } from '../db/database.js';
import { rowChecks, typedCell, validRow } from './checks.js';
import type { FileLoad } from './fileLoad.js';
import { contentHash, keyHash } from './keySql.js';
import type { Piece } from './spool.js';
import { spooledRows, spooledTexts } from './spoolSql.js';

/** Smaller files are compared with the stored rows after they were taken, which is cheaper for them. */
const LARGE_FILE_BYTES = 8 * 1024 * 1024;

/**
 * For a large file, notes what the table holds so that {@link takeRows} can leave duplicates out; returns whether it did.
 * Not where rows may be replaced: there the first row of a key in the file counts, be it a duplicate or not.
 */
export async function noteStored(db: Database, load: FileLoad): Promise<boolean> {
    const { contract, byteCount, replace, insteadOf, intoEmptyTable } = load;
    if (replace || insteadOf !== null || intoEmptyTable || byteCount < LARGE_FILE_BYTES) return false;
    await db.run(
        `create or replace temp table stored as
        select ${keyHash(contract)} as key_hash, ${contentHash(contract)} as content_hash from ${identifier(contract.kind)}`,
    );
    return true;
}

/**
 * Inserts the rows of `piece` that keep the contract; returns their number. `taken`: what stands behind FROM to make rows with
 * `source_file`, `line` and `load_id` of the rows named `valid`.
 */
export async function insertValid(
    db: Database,
    contract: TableContract,
    names: readonly string[],
    piece: Piece,
    taken: string,
): Promise<number> {
    const columns = contract.names.map(identifier);
    const typed = contract.columns.map(
        (column) => `${typedCell(column, names)} as ${identifier(column.name)}`,
    );
    const result = await db.connection.run(
        `insert into ${identifier(contract.kind)} by name
        with
        spooled as not materialized (${spooledRows([piece], names)}),
        valid as not materialized (select line, ${typed.join(', ')} from spooled where ${validRow(rowChecks(contract, names))})
        select ${columns.join(', ')}, source_file, line as source_line, load_id from ${taken}`,
    );
    return result.rowsChanged;
}

/** Inserts the valid rows of `piece`, less the duplicates of stored ones where those were noted; returns their number. */
export async function takeRows(
    db: Database,
    load: FileLoad,
    piece: Piece,
    storedNoted: boolean,
): Promise<number> {
    const { contract, names } = load;
    const isNew = `not exists (
        from stored where stored.key_hash = ${keyHash(contract)} and stored.content_hash = ${contentHash(contract)})`;
    return insertValid(
        db,
        contract,
        names,
        piece,
        `(
            select valid.*, ${literal(load.file)} as source_file, ${load.loadId} as load_id
            from valid
            ${storedNoted ? `where ${isNew}` : ''}
        )`,
    );
}

/** Writes the rows of `pieces` that break the contract to the rejects, with every column at fault; returns their number. */
export async function rejectRows(db: Database, load: FileLoad, pieces: readonly Piece[]): Promise<number> {
    const checks = rowChecks(load.contract, load.names);
    const problems = checks.map(
        ({ column, holds, reason }) =>
            `case when not (${holds}) then {'column': ${literal(column)}, 'reason': ${reason}} end`,
    );
    const result = await db.connection.run(
        `insert into rejects
        with
        spooled as (${spooledRows(pieces, load.names)}),
        texts as (${spooledTexts(pieces, load.names)}),
        faulty as (
            select line, list_filter([${problems.join(',\n')}], lambda p: p is not null) as problems
            from spooled
            where not (${validRow(checks)})
        )
        select
            ${load.loadId},
            ${literal(load.file)},
            ${literal(load.contract.kind)},
            line,
            problems[1].column,
            problems[1].reason
                || array_to_string(list_transform(problems[2:], lambda p: '; also ' || p.column || ' ' || p.reason), ''),
            texts.text,
            null,
            null,
            null
        from faulty
        inner join texts using (line)`,
    );
    return result.rowsChanged;
}
