import { createHash } from 'node:crypto';
import type { LoadRow } from '../contracts/results/load.js';
import type { Database } from '../db/database.js';
import { rowChecks, validRow } from './checks.js';
import type { FileLoad } from './fileLoad.js';
import type { LoadRun } from './loadRun.js';
import { ahead, spoolPieces } from './pieces.js';
import type { PreparedFile } from './prepare.js';
import { sameBytesAgain } from './sameBytes.js';
import { settleKeys } from './settleKeys.js';
import { SourcePass } from './source.js';
import type { Malformed, Piece } from './spool.js';
import { noteStored, rejectRows, takeRows } from './takeRows.js';

export interface FileOptions {
    replace: boolean;
    signal: AbortSignal;
    /** Hears how many bytes of the file have been read. */
    onBytes: (byteCount: number) => void;
}

async function appendMalformed(db: Database, load: FileLoad, records: readonly Malformed[]): Promise<void> {
    if (records.length === 0) return;
    const appender = await db.connection.createAppender('rejects');
    for (const { line, column, reason, bytes } of records) {
        const text = bytes.toString('utf8');
        appender.appendInteger(load.loadId);
        appender.appendVarchar(load.file);
        appender.appendVarchar(load.contract.kind);
        appender.appendInteger(line);
        if (column === null) appender.appendNull();
        else appender.appendVarchar(column);
        appender.appendVarchar(reason);
        appender.appendVarchar(text);
        if (Buffer.from(text).equals(bytes)) appender.appendNull();
        else appender.appendBlob(bytes);
        appender.appendNull();
        appender.appendNull();
        appender.endRow();
    }
    appender.closeSync();
}

/** Rejects of the same file, or those that were written to it for mending, are answered by this load. */
async function clearAnswered({ db, rejectsWait }: LoadRun, loadId: number, path: string): Promise<void> {
    if (!rejectsWait) return;
    await db.run(
        `update rejects set cleared_by = $load_id
        where cleared_by is null and load_id <> $load_id
            and (written_to = $path or load_id in (select load_id from loads where path = $path))`,
        { load_id: loadId, path },
    );
}

/**
 * Takes one prepared file in, spooling it through `folder`, which the database may read. To be run in a transaction.
 * Throws a UserError when the file cannot be read to its end or changes meanwhile, and when `signal` aborts.
 */
export async function loadFile(
    run: LoadRun,
    folder: string,
    prepared: PreparedFile,
    { replace, signal, onBytes }: FileOptions,
): Promise<LoadRow> {
    const { source, header } = prepared;
    const { contract, names } = header;
    const checks = createHash('sha256')
        .update(
            validRow(
                rowChecks(
                    contract,
                    contract.columns.map((c) => c.name),
                ),
            ),
        )
        .digest('hex');
    const { db } = run;
    const known = await sameBytesAgain(run, prepared, checks, replace);
    if (known !== null) return known;

    const { file, byteCount, path } = source;
    const load: FileLoad = { loadId: run.nextLoadId, file, byteCount, contract, names, replace };
    const storedNoted = await noteStored(db, load);
    const pass = new SourcePass(source);
    const pieces: Piece[] = [];
    const short: Piece[] = [];
    let readCount = 0;
    let malformedCount = 0;
    let insertedCount = 0;
    for await (const piece of ahead(spoolPieces(prepared, pass, folder, onBytes))) {
        signal.throwIfAborted();
        const spooledCount = piece.rowCount - piece.malformed.length;
        const taken = spooledCount === 0 ? 0 : await takeRows(db, load, piece, storedNoted);
        await appendMalformed(db, load, piece.malformed);
        readCount += piece.rowCount;
        malformedCount += piece.malformed.length;
        insertedCount += taken;
        pieces.push({ ...piece, malformed: [] });
        if (taken < spooledCount) short.push(pieces.at(-1)!);
    }
    const invalidCount = short.length === 0 ? 0 : await rejectRows(db, load, short);
    signal.throwIfAborted();
    const keys = await settleKeys(db, load, pieces);
    signal.throwIfAborted();
    await clearAnswered(run, load.loadId, path);
    const rejectedCount = malformedCount + invalidCount + keys.conflict;
    const loadedCount = insertedCount - keys.duplicate - keys.conflict;
    const row: LoadRow = {
        file,
        kind: contract.kind,
        read_count: readCount,
        loaded_count: loadedCount,
        duplicate_count: readCount - loadedCount - rejectedCount,
        rejected_count: rejectedCount,
        replaced_count: keys.replaced,
    };
    await db.run(
        `insert into loads values (
            $load_id, $file, $path, $kind, $byte_count, $sha256, $checks, $header, now() at time zone 'UTC',
            $read_count, $loaded_count, $duplicate_count, $rejected_count, $replaced_count)`,
        {
            ...row,
            load_id: load.loadId,
            path,
            byte_count: byteCount,
            sha256: pass.sha256(),
            checks,
            header: header.text,
        },
    );
    run.noteLoad(contract.kind, byteCount, rejectedCount);
    return row;
}
