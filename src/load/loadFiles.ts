import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ForgottenRow } from '../contracts/results/forget.js';
import type { LoadRow } from '../contracts/results/load.js';
import { Database } from '../db/database.js';
import { ensureSchema } from '../db/migrate.js';
import { type OpenDatabaseOptions, openDatabase } from '../db/openDatabase.js';
import { areSmall } from '../db/smallFiles.js';
import { UserError } from '../errors/errors.js';
import { isDiskFull, isInterrupted } from '../errors/exhausted.js';
import { diskFull, namedTwice } from '../errors/loadMessages.js';
import type { Reason } from './forget/voidRows.js';
import { insteadOf } from './insteadOf.js';
import { kitMeanings } from './kitMeanings.js';
import { loadFile } from './loadFile.js';
import { LoadRun } from './loadRun.js';
import { filesTogether, loadTogether, MOST_TOGETHER } from './loadTogether.js';
import { prepareMapped } from './map/mapping.js';
import type { MapFile } from './map/readMap.js';
import { type PreparedFile, prepareFile } from './prepare.js';
import { removeStaleSpools, spoolFolder } from './spoolFolder.js';

export interface LoadProgress {
    file: string;
    /** Bytes of this file read so far, of how many. */
    byteCount: number;
    ofByteCount: number;
}

export interface LoadOptions extends Pick<OpenDatabaseOptions, 'patience' | 'say' | 'memoryLimit'> {
    /** Kind of every file; without it, each is recognised from its header. */
    kind?: string | undefined;
    /** How every file is read, where it is not a file of the contract; it tells the kind. */
    map?: MapFile;
    /** A row with a taken key and other content supersedes the stored one instead of being rejected. */
    replace?: boolean;
    /** The one file stands in for this earlier load, the name of its file or its number: see {@link insteadOf}. */
    insteadOf?: (Reason & { load: string }) | undefined;
    /** Reports what would happen and leaves the database as it was. */
    dryRun?: boolean;
    onProgress?: (progress: LoadProgress) => void;
    /** Asks the database where rows were stored, before it is closed: to open and close it takes longer than to store a few. */
    onStored?: (report: LoadReport, db: Database) => Promise<void>;
    /** Stops the files in hand, one or several small ones, of which nothing is taken. */
    signal?: AbortSignal | undefined;
}

export interface LoadReport {
    /** One row per file that was taken. */
    rows: LoadRow[];
    /** Files that were not taken at all, with the reason and how to mend it. */
    refused: { file: string; reason: string }[];
    /** Rows that the files leave waiting to be mended, each counted once. */
    asideCount: number;
    /** Rows of the earlier load that the file which stands in for it no longer holds. */
    gone: ForgottenRow[];
    /** What people should know besides. */
    notes: string[];
    /** Whether the database holds readings afterwards. */
    hasReadings: boolean;
}

export const emptyReport = (): LoadReport => ({
    rows: [],
    refused: [],
    asideCount: 0,
    gone: [],
    notes: [],
    hasReadings: false,
});

/** Node writes the folder of the spool, DuckDB the database. */
function named(error: unknown, dbFile: string): unknown {
    if (!isDiskFull(error)) return error;
    const isSpool = (error as NodeJS.ErrnoException).code !== undefined;
    return new UserError(diskFull(isSpool ? tmpdir() : dbFile), 'disk_full');
}

async function attempt<T>(report: LoadReport, file: string, work: () => Promise<T>): Promise<T | undefined> {
    try {
        return await work();
    } catch (error) {
        if (!(error instanceof UserError)) throw error;
        report.refused.push({ file, reason: error.message });
        return undefined;
    }
}

/** Prepares the files; those that cannot be taken go to the report. */
export async function prepareAll(files: readonly string[], { kind, map }: LoadOptions, report: LoadReport) {
    const prepared: PreparedFile[] = [];
    for (const file of files) {
        const one = await attempt(report, file, () =>
            map === undefined ? prepareFile(file, kind) : prepareMapped(file, map),
        );
        if (one === undefined) continue;
        if (prepared.some(({ source }) => source.path === one.source.path)) {
            report.notes.push(namedTwice(file));
        } else prepared.push(one);
    }
    return prepared;
}

/** Takes files into an opened database that may read `folder`, each in a transaction of its own, or small ones together; what fails is reported. */
export async function loadPrepared(
    db: Database,
    folder: string,
    prepared: readonly PreparedFile[],
    options: LoadOptions,
    report: LoadReport,
): Promise<void> {
    const { replace = false, dryRun = false, insteadOf: stands, onProgress } = options;
    const { signal = new AbortController().signal } = options;
    try {
        // A dry run of several files sees them one after the other, as the run itself would.
        if (dryRun) await db.run('begin transaction');
        if (dryRun) await ensureSchema(db);
        const run = await LoadRun.begin(db);
        const heard = ({ source: { file, byteCount } }: PreparedFile, read: number) =>
            onProgress?.({ file, byteCount: read, ofByteCount: byteCount });
        const alone = async (one: PreparedFile, inner: string) =>
            loadFile(run, inner, one, {
                replace,
                dryRun,
                instead: stands && (await insteadOf(db, stands.load, one, stands)),
                signal,
                onBytes: (byteCount) => heard(one, byteCount),
            });
        const changes = prepared.some(({ header }) => header.contract.kind === 'kits')
            ? await kitMeanings(db)
            : async () => [];
        // Fewer together after files that had to be taken one by one.
        let most = dryRun || replace || stands !== undefined ? 1 : MOST_TOGETHER;
        for (let next = 0; next < prepared.length; ) {
            const one = prepared[next]!;
            const together = run.rejectsWait ? [one] : filesTogether(prepared, next, most);
            const inner = mkdtempSync(join(folder, 'file-'));
            if (together.length > 1) {
                const rows = await loadTogether(run, inner, together, signal, heard);
                if (rows === null) most = Math.max(1, Math.floor(together.length / 4));
                else {
                    report.rows.push(...rows);
                    next += together.length;
                    most = Math.min(2 * most, MOST_TOGETHER);
                }
            } else {
                const work = () => alone(one, inner);
                const row = await attempt(report, one.source.file, () =>
                    dryRun ? work() : db.transaction(work),
                );
                if (row !== undefined) report.rows.push(row);
                if (!dryRun && !replace && stands === undefined && row?.loaded_count === row?.read_count)
                    most = Math.max(most, 2);
                next++;
            }
            rmSync(inner, { recursive: true });
        }
        report.asideCount = run.asideCount;
        report.gone.push(...run.gone);
        report.notes.push(...run.notes);
        try {
            report.hasReadings = !(await run.isEmpty('readings'));
            report.notes.push(...(await changes()));
        } catch (error) {
            // All files are taken, and a stop that comes now may not say that they are not.
            if (dryRun || !isInterrupted(error)) throw error;
        }
    } finally {
        if (dryRun) await db.run('rollback').catch(() => undefined);
    }
}

/** The database with its tables; for a dry run it is opened as it stands, and none is made. */
async function openFor(
    file: string,
    folder: string,
    files: readonly string[],
    { dryRun, patience, say, memoryLimit, signal }: LoadOptions,
) {
    const isSmall = areSmall(file, ...files);
    const threads = isSmall ? 1 : undefined;
    const opening = {
        mode: 'create' as const,
        paths: [folder],
        patience,
        memoryLimit,
        signal,
        threads,
        isSmall,
    };
    if (!dryRun) return openDatabase({ ...opening, file, say });
    return Database.open({ ...opening, file: existsSync(file) ? file : ':memory:' });
}

/**
 * Takes CSV files into the database file `dbFile`, which is made when it is missing and a file can be taken.
 * Throws a {@link UserError} when the database cannot be used or the disk is full; the files before stay loaded.
 */
export async function loadFiles(
    files: readonly string[],
    dbFile: string,
    options: LoadOptions = {},
): Promise<LoadReport> {
    const report = emptyReport();
    const prepared = await prepareAll(files, options, report);
    if (prepared.length === 0) return report;
    removeStaleSpools();
    const folder = spoolFolder();
    try {
        const db = await openFor(dbFile, folder, files, options);
        try {
            await loadPrepared(db, folder, prepared, options, report);
            if (!options.dryRun && report.rows.length > 0) await options.onStored?.(report, db);
        } finally {
            db.close();
        }
    } catch (error) {
        throw named(error, dbFile);
    } finally {
        rmSync(folder, { recursive: true, force: true });
    }
    return report;
}
