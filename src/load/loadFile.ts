import type { LoadRow } from '../contracts/results/load.js';
import type { Database } from '../db/database.js';
import { columnsKept } from '../errors/forgetMessages.js';
import { appendRows } from './appendRows.js';
import { checksHash } from './checksHash.js';
import { clearMended } from './clearMended.js';
import type { FileLoad } from './fileLoad.js';
import { type Instead, insteadNotes, requireNoneAside, voidGone } from './insteadOf.js';
import { keepColumns } from './keepColumns.js';
import type { LoadRun } from './loadRun.js';
import { noteLoads } from './noteLoads.js';
import { ahead, spoolPieces } from './pieces.js';
import type { PreparedFile } from './prepare.js';
import { sameBytesAgain } from './sameBytes.js';
import { settleKeys } from './settleKeys.js';
import { SourcePass } from './source.js';
import type { Malformed, Piece } from './spool.js';
import { noteStored, rejectRows, takeRows } from './takeRows.js';
import { leaveVoided, stillVoidedNotes } from './voidedAgain.js';

interface FileOptions {
    replace: boolean;
    dryRun: boolean;
    /** The earlier load that the file stands in for. */
    instead?: Instead | undefined;
    signal: AbortSignal;
    /** Hears how many bytes of the file have been read. */
    onBytes: (byteCount: number) => void;
}

/** The rows of table `rejects` for records that are no rows. */
function rejectsOf({ loadId, file, contract }: FileLoad, records: readonly Malformed[]) {
    return records.map(({ line, column, reason, text, bytes }) => [
        loadId,
        file,
        contract.kind,
        line,
        column,
        reason,
        text,
        bytes,
        null,
        null,
    ]);
}

/** Rejects of the same file, those that were written to it for mending, and those that its rows mend are answered by this load. */
async function clearAnswered({ db, rejectsWait }: LoadRun, load: FileLoad, path: string): Promise<void> {
    if (!rejectsWait) return;
    const { loadId, insteadOf } = load;
    await db.run(
        `update rejects set cleared_by = $load_id
        where cleared_by is null and load_id <> $load_id
            and (written_to = $path or load_id in (select load_id from loads where path = $path or load_id = $instead_of::integer))`,
        { load_id: loadId, path, instead_of: insteadOf },
    );
    await clearMended(db, load);
}

interface Taken {
    pieces: Piece[];
    readCount: number;
    /** Rows inserted into the table; those whose key was taken are among them. */
    insertedCount: number;
    /** Rows that are no CSV row or break the contract: written to the rejects. */
    invalidCount: number;
    sourceRowCount: number;
    droppedRowCount: number;
}

/** Brings the rows of the file into the table and those that cannot go there into the rejects. */
async function takePieces(
    db: Database,
    load: FileLoad,
    spooled: AsyncGenerator<Piece>,
    storedNoted: boolean,
    signal: AbortSignal,
): Promise<Taken> {
    const taken: Taken = {
        pieces: [],
        readCount: 0,
        insertedCount: 0,
        invalidCount: 0,
        sourceRowCount: 0,
        droppedRowCount: 0,
    };
    const short: Piece[] = [];
    for await (const piece of ahead(spooled)) {
        signal.throwIfAborted();
        const rowCount = piece.rowCount - piece.malformed.length;
        const insertedCount = rowCount === 0 ? 0 : await takeRows(db, load, piece, storedNoted);
        if (piece.malformed.length > 0) await appendRows(db, 'rejects', rejectsOf(load, piece.malformed));
        taken.readCount += piece.rowCount;
        taken.insertedCount += insertedCount;
        taken.invalidCount += piece.malformed.length;
        taken.sourceRowCount += piece.sourceRowCount;
        taken.droppedRowCount += piece.droppedRowCount;
        const kept = { ...piece, malformed: [] };
        taken.pieces.push(kept);
        if (insertedCount < rowCount) short.push(kept);
    }
    if (short.length > 0) taken.invalidCount += await rejectRows(db, load, short);
    return taken;
}

/** What a map made the rows of ours of; nothing without one. */
function sourceCounts({ mapping }: PreparedFile, { sourceRowCount, droppedRowCount }: Taken) {
    if (mapping === undefined) return {};
    return { map: mapping.file, source_row_count: sourceRowCount, dropped_row_count: droppedRowCount };
}

/**
 * Takes one prepared file in, spooling it through `folder`, which the database may read. To be run in a transaction.
 * Throws a UserError when the file cannot be read to its end or changes meanwhile, and when `signal` aborts.
 */
export async function loadFile(
    run: LoadRun,
    folder: string,
    prepared: PreparedFile,
    { replace, dryRun, instead, signal, onBytes }: FileOptions,
): Promise<LoadRow> {
    const { db } = run;
    const { file, byteCount, path } = prepared.source;
    const { contract, names, text: header } = prepared.header;
    const checks = checksHash(prepared);
    const known = instead === undefined ? await sameBytesAgain(run, prepared, checks, replace) : null;
    if (known !== null) return known;

    const intoEmptyTable = await run.isEmpty(contract.kind);
    const load: FileLoad = {
        loadId: run.nextLoadId,
        file,
        byteCount,
        contract,
        names,
        replace,
        insteadOf: instead?.load.load_id ?? null,
        intoEmptyTable,
    };
    const storedNoted = await noteStored(db, load);
    const pass = new SourcePass(prepared.source);
    const spooled = spoolPieces(prepared, pass, folder, onBytes);
    const taken = await takePieces(db, load, spooled, storedNoted, signal);
    const { pieces, readCount, insertedCount, invalidCount } = taken;
    const sha256 = pass.sha256();
    signal.throwIfAborted();
    if (instead !== undefined) await requireNoneAside(db, load, invalidCount, false);
    const gone = instead === undefined ? [] : await voidGone(db, load, instead);
    const stillVoided = await leaveVoided(db, load, sha256);
    const voidedCount = stillVoided.reduce((sum, { row_count }) => sum + row_count, 0);
    const keptColumns = await keepColumns(db, load);
    const keys = await settleKeys(db, load, pieces);
    if (instead !== undefined) await requireNoneAside(db, load, keys.conflict, !replace);
    signal.throwIfAborted();
    await clearAnswered(run, load, path);
    const knownCount = keys.duplicate + voidedCount;
    const row: LoadRow = {
        file,
        kind: contract.kind,
        read_count: readCount,
        loaded_count: insertedCount - knownCount - keys.conflict,
        duplicate_count: readCount - insertedCount - invalidCount + knownCount,
        rejected_count: invalidCount + keys.conflict,
        replaced_count: keys.replaced,
        ...(instead !== undefined && { unchanged_count: keys.unchanged, gone_count: gone.length }),
        ...(voidedCount > 0 && { voided_count: voidedCount }),
        ...(keptColumns.length > 0 && { kept_columns: keptColumns }),
        ...sourceCounts(prepared, taken),
    };
    if (!storedNoted && row.duplicate_count !== knownCount) {
        throw new Error(`${file}: ${row.duplicate_count - knownCount} rows are neither taken nor set aside`);
    }
    await noteLoads(db, [{ loadId: load.loadId, path, byteCount, sha256, checks, header, row }]);
    run.noteLoad(contract.kind, byteCount, row.rejected_count);
    run.gone.push(...gone);
    run.notes.push(
        ...(instead === undefined ? [] : insteadNotes(row, instead, dryRun)),
        ...(await stillVoidedNotes(db, stillVoided)),
        ...(keptColumns.length === 0 ? [] : [columnsKept(file, keptColumns)]),
    );
    return row;
}
