import { resolve } from 'node:path';
import type { ForgottenRow } from '../contracts/results/forget.js';
import { UsageError, UserError } from '../errors/errors.js';
import { bookClosed, stoppedByCaller } from '../errors/libraryMessages.js';
import { mendable } from '../errors/mendable.js';
import { mapAndKind } from '../errors/messages.js';
import type { AskOptions, Question } from './askModel.js';
import { requireLimits } from './limits.js';
import * as questions from './questions.js';
import type {
    AdviseRow,
    AuditRow,
    CallBackRow,
    CheckRow,
    ClockingRow,
    DriftRow,
    ExportRow,
    GaugeRow,
    HistoryRow,
    LoadRow,
    MarkRow,
    PlanRow,
    RangeRow,
    ReportRow,
    ReturnRow,
    SlopeRow,
    StackRow,
    UnrecordedRow,
} from './rows.js';
import type {
    AdviseQuestion,
    Answer,
    AuditQuestion,
    ClockingQuestion,
    DriftQuestion,
    ExportOptions,
    PlanQuestion,
    RangeQuestion,
    ReportQuestion,
    StackQuestion,
} from './types.js';

export interface BookOptions {
    /** Folder of Parquet files with more readings, as `--readings`. */
    readings?: string | undefined;
    /** Seconds to wait while another process holds the database; default 0. */
    wait?: number | undefined;
    /** Memory that the database may take, such as `2GB`. */
    memory?: string | undefined;
    /** Stops what is in hand. */
    signal?: AbortSignal | undefined;
    /** Hears what a command would say on stderr, such as that an older database was migrated. */
    say?: ((text: string) => void) | undefined;
}

export interface LoadOptions {
    /** Kind of every file; without it, each is recognised from its header. */
    as?: string | undefined;
    /** File with the import map. */
    map?: string | undefined;
    /** A row with a known key and other content replaces the stored one. */
    replace?: boolean | undefined;
    dryRun?: boolean | undefined;
    /** Leave the model tables to the first question. */
    later?: boolean | undefined;
}

export interface Loaded {
    /** One row a file that was taken. */
    rows: LoadRow[];
    /** Files that were not taken at all, and why. */
    refused: { file: string; reason: string }[];
    /** Rows that wait to be mended. */
    asideCount: number;
    gone: ForgottenRow[];
    notes: string[];
}

/** What was last asked of each database file by this process: one thing after the other, as a second opening would see another state. */
const last = new Map<string, Promise<unknown>>();

/**
 * A database file and its questions. Each answer has `rows` as the published contract has them and `notes`, the same as the command of
 * that name gives with `--json`. The file is open only while something is asked, so that others may use it in between. Every method
 * throws a {@link UsageError} where the question is wrong and a {@link UserError} where the data, a file or the disk are; `code` says
 * which. Anything else that is thrown is a bug.
 */
export class Book {
    readonly file: string;
    readonly #options: BookOptions;
    #closed = false;

    constructor(file: string, options: BookOptions) {
        this.file = resolve(file);
        this.#options = options;
    }

    /** Takes CSV files in; makes the database when it is missing. */
    load(files: string | readonly string[], options: LoadOptions = {}): Promise<Loaded> {
        return this.#next(async () => {
            const { loadFiles } = await import('../load/loadFiles.js');
            const { readMap } = await import('../load/map/readMap.js');
            const { as, map, replace, dryRun, later } = options;
            if (as !== undefined && map !== undefined) throw new UsageError(mapAndKind());
            const { hasReadings, ...loaded } = await loadFiles(
                typeof files === 'string' ? [files] : files,
                this.file,
                {
                    kind: as,
                    ...(map !== undefined && { map: readMap(map) }),
                    ...(await this.#opening()),
                    replace: replace === true,
                    dryRun: dryRun === true,
                },
            );
            if (loaded.rows.length > 0 && hasReadings && !dryRun && !later) {
                const { modelFiles } = await import('../model/sqlFile.js');
                const needs = modelFiles().map(({ table }) => table);
                await this.#put(async () => ({ needs, ask: async () => undefined }));
            }
            return loaded;
        });
    }

    /** What a millimetre and a mark are worth, by chassis. */
    slopes: (question?: { chassis?: string }) => Promise<Answer<SlopeRow> & { marks: MarkRow[] }> =
        this.#asker(questions.slopes);
    /** What sessions did to the settings; `unrecorded` is what moved though nothing ran, or other than the pointers say. */
    drift: (question?: DriftQuestion) => Promise<Answer<DriftRow> & { unrecorded: UnrecordedRow[] }> =
        this.#asker(questions.drift);
    /** Whether installs and adjustments hit their targets. */
    audit: (question?: AuditQuestion) => Promise<Answer<AuditRow>> = this.#asker(questions.audit);
    /** Whom to call back and why: `audit --cars`. */
    callBacks: (question?: Pick<AuditQuestion, 'guard' | 'comeBackDays'>) => Promise<Answer<CallBackRow>> =
        this.#asker(questions.callBacks);
    /** What offsets the field needs, and what share a kit reaches. */
    range: (question?: RangeQuestion) => Promise<Answer<RangeRow>> = this.#asker(questions.range);
    /** Repeatability and bias of gauges and people. */
    gauges: () => Promise<Answer<GaugeRow>> = this.#asker(questions.gauges);
    /** How well settings come back to their marks: `gauges --returns`. */
    returns: (question?: { kit?: string; mark?: number }) => Promise<Answer<ReturnRow>> = this.#asker(
        questions.returns,
    );
    /** What looks wrong in the accepted data; `failures` are checks that could not be asked, a bug. */
    check: (question?: {
        only?: string;
    }) => Promise<Answer<CheckRow> & { failures: { check: string; error: Error }[] }> = this.#asker(
        questions.check,
    );
    /** Where to put the bearings; the first `lead` notes are the answer itself. */
    advise: (question: AdviseQuestion) => Promise<Answer<AdviseRow> & { lead: number }> = this.#asker(
        questions.advise,
    );
    /** Which plate goes left and right, in which bolt position. */
    clocking: (question: ClockingQuestion) => Promise<Answer<ClockingRow>> = this.#asker(questions.clocking);
    /** Which parts go on a shaft, in which order. */
    stack: (question: StackQuestion) => Promise<Answer<StackRow>> = this.#asker(questions.stack);
    /** How many more cars tell enough. */
    plan: (question: PlanQuestion) => Promise<Answer<PlanRow>> = this.#asker(questions.plan);
    /** The settings that a car can go back to. */
    history: (question: { vehicle: string }) => Promise<Answer<HistoryRow>> = this.#asker(questions.history);

    /** Writes pages, or their pictures, into the folder `out`; all of them where none is named. */
    report(names: string | readonly string[], options: ReportQuestion): Promise<ReportRow[]> {
        const list = typeof names === 'string' ? [names] : names;
        return this.#next(async () => this.#put(await questions.report(list, options)));
    }

    /** Writes a table of the database as a file. */
    export(table: string, options: ExportOptions): Promise<ExportRow> {
        return this.#next(async () => {
            const { exported } = await import('./exporting.js');
            return exported(table, options, (question, folder) => this.#put(question, { paths: [folder] }));
        });
    }

    /** Waits for what is in hand; later questions are refused. */
    async close(): Promise<void> {
        this.#closed = true;
        await last.get(this.file)?.catch(() => undefined);
    }

    #asker<A extends unknown[], T>(checked: (...options: A) => Promise<Question<T>>) {
        return (...options: A): Promise<T> => this.#next(async () => this.#put(await checked(...options)));
    }

    /** Does `work` when what was asked before is done. */
    #next<T>(work: () => Promise<T>): Promise<T> {
        const { memory, signal } = this.#options;
        const done = (last.get(this.file) ?? Promise.resolve())
            .catch(() => undefined)
            .then(() => {
                if (signal?.aborted) throw new UserError(stoppedByCaller(), 'stopped');
                return work();
            })
            .catch((error: unknown) => {
                if (error instanceof UsageError) throw error;
                const told = mendable(error, memory);
                if (told !== null) throw told;
                throw signal?.aborted ? new UserError(stoppedByCaller(), 'stopped') : error;
            });
        if (this.#closed) return Promise.reject(new UsageError(bookClosed(this.file)));
        last.set(this.file, done);
        const forget = () => {
            if (last.get(this.file) === done) last.delete(this.file);
        };
        done.then(forget, forget);
        return done;
    }

    async #opening() {
        const { wait = 0, memory, say = () => undefined } = this.#options;
        requireLimits({ wait });
        const { Patience } = await import('../db/patience.js');
        const signal = this.#options.signal ?? new AbortController().signal;
        return { patience: new Patience(wait, signal, say), say, memoryLimit: memory, signal };
    }

    async #put<T>(question: Question<T>, more: Pick<AskOptions, 'paths'> = {}): Promise<T> {
        const { askModel } = await import('./askModel.js');
        return askModel(this.file, question, {
            ...(await this.#opening()),
            ...more,
            readings: this.#options.readings,
        });
    }
}

/** The database `file`, which the first {@link Book.load} makes; nothing is opened before something is asked. */
export function openBook(file: string, options: BookOptions = {}): Book {
    return new Book(file, options);
}
