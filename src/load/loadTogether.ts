import type { LoadRow } from '../contracts/results/load.js';
import { identifier, literal } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { isDiskFull } from '../errors/exhausted.js';
import { checksHash } from './checksHash.js';
import type { LoadRun } from './loadRun.js';
import { type LoadNote, noteLoads } from './noteLoads.js';
import { scanRecords } from './pieces.js';
import type { PreparedFile } from './prepare.js';
import { RecordScanner } from './records.js';
import { clashes } from './settleKeys.js';
import { SourcePass } from './source.js';
import { type Piece, Spool } from './spool.js';
import { insertValid } from './takeRows.js';
import { isAmong, voidedHashes } from './voidedAgain.js';

/** More at once is no faster, and more would have to be taken again where one is at fault. */
export const MOST_TOGETHER = 64;
const MOST_BYTES = 8 * 1024 * 1024;

/** The files from place `start` on, at most `most`, that may be taken together: small ones of one header, without a map. */
export function filesTogether(
    prepared: readonly PreparedFile[],
    start: number,
    most: number,
): readonly PreparedFile[] {
    const first = prepared[start]!.header;
    let end = start;
    let byteCount = 0;
    for (; end < prepared.length && end < start + most; end++) {
        const { header, mapping, source } = prepared[end]!;
        byteCount += source.byteCount;
        if (byteCount > MOST_BYTES || mapping !== undefined) break;
        if (header.contract !== first.contract || header.names.join() !== first.names.join()) break;
        if (header.width !== first.width) break;
    }
    return prepared.slice(start, end);
}

/** Some row of the files is at fault, stands twice or is known, or a file cannot be read: each has to be taken by itself. */
class NotTogether extends Error {}

interface Scanned {
    file: PreparedFile;
    /** The rows of the file are those with a counted line above `base` and up to `end`. */
    base: number;
    end: number;
    rowCount: number;
    sha256: string;
}

/** Spools the files one behind the other; lines are counted on from file to file. */
async function scanAll(
    spool: Spool,
    files: readonly PreparedFile[],
    onBytes: (file: PreparedFile, byteCount: number) => void,
): Promise<{ scanned: Scanned[]; piece: Piece }> {
    const scanned: Scanned[] = [];
    let base = 0;
    for (const file of files) {
        const before = spool.rowCount;
        spool.goOn(file.header.line, base);
        const pass = new SourcePass(file.source);
        const scanner = new RecordScanner(spool.add);
        for await (const byteCount of scanRecords(scanner, pass, file.source.file)) onBytes(file, byteCount);
        const end = base + scanner.line;
        scanned.push({ file, base, end, rowCount: spool.rowCount - before, sha256: pass.sha256() });
        base = end;
    }
    return { scanned, piece: spool.cut() };
}

async function takeTogether(
    run: LoadRun,
    folder: string,
    files: readonly PreparedFile[],
    signal: AbortSignal,
    onBytes: (file: PreparedFile, byteCount: number) => void,
): Promise<LoadNote[]> {
    const { db, nextLoadId: firstId } = run;
    const { header } = files[0]!;
    const { contract, names } = header;
    const intoEmptyTable = await run.isEmpty(contract.kind);
    const byteCount = files.reduce((sum, { source }) => sum + source.byteCount, 0);
    const spool = new Spool(folder, header, byteCount);
    const { scanned, piece } = await scanAll(spool, files, onBytes).finally(() => spool.close());
    signal.throwIfAborted();
    // Without rows, the same bytes twice would not show.
    if (piece.malformed.length > 0 || scanned.some(({ rowCount }) => rowCount === 0)) throw new NotTogether();
    const origins = scanned.map(
        ({ file, base, end }, i) => `(${base}, ${end}, ${literal(file.source.file)}, ${firstId + i})`,
    );
    const inserted = await insertValid(
        db,
        contract,
        names,
        piece,
        `(
            select valid.* replace (line - base as line), source_file, load_id
            from valid
            inner join (values ${origins.join(', ')}) as files(base, last, source_file, load_id) on line > base and line <= last
        )`,
    );
    const first = { contract, loadId: firstId, intoEmptyTable };
    if (inserted < piece.rowCount) throw new NotTogether();
    if ((await db.cells(`select 1 from (${clashes(first)}) limit 1`)).length > 0) throw new NotTogether();
    const voided = `select 1 from ${identifier(contract.kind)}
        where load_id >= ${firstId} and ${isAmong(first, `(${voidedHashes(first)})`)} limit 1`;
    if ((await db.cells(voided)).length > 0) throw new NotTogether();
    const notes = scanned.map(({ file, rowCount, sha256 }, i): LoadNote => {
        const row: LoadRow = {
            file: file.source.file,
            kind: contract.kind,
            read_count: rowCount,
            loaded_count: rowCount,
            duplicate_count: 0,
            rejected_count: 0,
            replaced_count: 0,
        };
        const { path, byteCount } = file.source;
        return {
            loadId: firstId + i,
            path,
            byteCount,
            sha256,
            checks: checksHash(file),
            header: file.header.text,
            row,
        };
    });
    await noteLoads(db, notes);
    return notes;
}

/**
 * Takes several files in by one transaction, as one after the other would be taken, where each row of theirs is sound and new, which
 * for many small files is several times as fast. Null, with the database as it was, where one is not.
 */
export async function loadTogether(
    run: LoadRun,
    folder: string,
    files: readonly PreparedFile[],
    signal: AbortSignal,
    onBytes: (file: PreparedFile, byteCount: number) => void,
): Promise<LoadRow[] | null> {
    try {
        const notes = await run.db.transaction(() => takeTogether(run, folder, files, signal, onBytes));
        const { kind } = files[0]!.header.contract;
        for (const { byteCount } of notes) run.noteLoad(kind, byteCount, 0);
        return notes.map(({ row }) => row);
    } catch (error) {
        // By itself each file may find room for its spool.
        const noRoom = isDiskFull(error) && (error as NodeJS.ErrnoException).code !== undefined;
        if (error instanceof NotTogether || error instanceof UserError || noRoom) return null;
        throw error;
    }
}
