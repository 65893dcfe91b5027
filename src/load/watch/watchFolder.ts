import { existsSync, mkdirSync, renameSync, writeFileSync } from 'node:fs';
import { basename, dirname, extname, join, relative } from 'node:path';
import type { LoadRow } from '../../contracts/results/load.js';
import type { WatchRow } from '../../contracts/results/watch.js';
import { openDatabase } from '../../db/openDatabase.js';
import { UserError } from '../../errors/errors.js';
import { noFolder } from '../../errors/messages.js';
import { systemReason } from '../../errors/systemReason.js';
import { type LoadOptions, type LoadReport, loadFiles } from '../loadFiles.js';
import { readMap } from '../map/readMap.js';
import { writeRejects } from '../rejects.js';
import { type Arrival, arrivals, isStill, OWN_FOLDERS, Settling } from './arrivals.js';
import { Ledger } from './ledger.js';

export interface WatchOptions {
    settleSeconds: number;
    /** Hears, once each, why something has to wait: a broken map, a database that another process holds. */
    warn: (text: string) => void;
    load?: Pick<LoadOptions, 'patience' | 'say' | 'memoryLimit' | 'signal'>;
}

/** Most files in one load: what arrived behind them waits for the next. */
const MOST_FILES = 200;

/** `path`, or with a number in front of its ending where that is taken. */
function freePath(path: string): string {
    const ending = extname(path);
    for (let n = 1; ; n++) {
        const free = n === 1 ? path : join(dirname(path), `${basename(path, ending)}-${n}${ending}`);
        if (!existsSync(free)) return free;
    }
}

/** What stood in the database before a kill stands there still: a file that was taken and not yet moved is taken again, and none of its rows twice. */
export class FolderWatch {
    readonly #root: string;
    readonly #dbFile: string;
    readonly #options: WatchOptions;
    readonly #settling: Settling;
    readonly #ledger: Ledger;
    #warned = '';

    /** Makes `root` where it is missing; throws a {@link UserError} where it cannot be a folder. */
    constructor(root: string, dbFile: string, options: WatchOptions) {
        this.#root = root;
        this.#dbFile = dbFile;
        this.#options = options;
        this.#settling = new Settling(options.settleSeconds);
        try {
            mkdirSync(root, { recursive: true });
            for (const name of OWN_FOLDERS) mkdirSync(join(root, name), { recursive: true });
            this.#ledger = new Ledger(root);
        } catch (error) {
            if (error instanceof UserError) throw error;
            throw new UserError(noFolder(root, systemReason(error)), 'cannot_write');
        }
    }

    /** Whether anything is there that has not been taken or set aside. */
    get isEmpty(): boolean {
        return arrivals(this.#root).length === 0;
    }

    #warn(text: string): void {
        if (text !== this.#warned) this.#options.warn(text);
        this.#warned = text;
    }

    /** Takes the files that are whole by now, and tells what became of each. */
    async look(): Promise<WatchRow[]> {
        for (const { file, moved_to } of this.#ledger.grown()) {
            mkdirSync(dirname(join(this.#root, file)), { recursive: true });
            renameSync(join(this.#root, moved_to), freePath(join(this.#root, file)));
        }
        const whole = this.#settling.whole(arrivals(this.#root));
        const rows: WatchRow[] = [];
        for (const map of new Set(whole.map((one) => one.map))) {
            const files = whole.filter((one) => one.map === map);
            for (let from = 0; from < files.length; from += MOST_FILES) {
                rows.push(...(await this.#take(files.slice(from, from + MOST_FILES), map)));
            }
        }
        return rows;
    }

    async #take(files: readonly Arrival[], map: string | null): Promise<WatchRow[]> {
        let report: LoadReport;
        try {
            const paths = files.map(({ path }) => path);
            report = await loadFiles(paths, this.#dbFile, {
                ...this.#options.load,
                ...(map !== null && { map: readMap(map) }),
            });
        } catch (error) {
            if (!(error instanceof UserError)) throw error;
            this.#warn(error.message);
            return [];
        }
        this.#warned = '';
        const rows: WatchRow[] = [];
        for (const file of files) {
            const loaded = report.rows.find((row) => row.file === file.path);
            const reason = report.refused.find((one) => one.file === file.path)?.reason ?? null;
            // Whoever writes it was not done: it is read again once it is still.
            if (!isStill(file) || (loaded === undefined && reason === null)) continue;
            rows.push(await this.#move(file, loaded, reason));
        }
        return rows;
    }

    async #move(file: Arrival, loaded: LoadRow | undefined, reason: string | null): Promise<WatchRow> {
        const isTaken = reason === null && loaded!.rejected_count === 0;
        const place = join(this.#root, isTaken ? 'taken' : 'set-aside', file.folder);
        mkdirSync(place, { recursive: true });
        const to = freePath(join(place, file.name));
        if (reason !== null) writeFileSync(`${to}.reason.txt`, `${reason}\n`);
        else if (!isTaken) await this.#writeRejects(file.path, to);
        const [from, moved_to] = [file.path, to].map((path) => relative(this.#root, path)) as [
            string,
            string,
        ];
        this.#ledger.note(from, moved_to, file.size);
        renameSync(file.path, to);
        const { kind = null, loaded_count = 0, duplicate_count = 0, rejected_count = 0 } = loaded ?? {};
        return { file: from, moved_to, kind, loaded_count, duplicate_count, rejected_count, reason };
    }

    /** Beside the file: its rows that were not taken, to be mended and dropped into the folder, and the reasons. */
    async #writeRejects(path: string, to: string): Promise<void> {
        const ending = extname(to);
        const rejected = freePath(join(dirname(to), `${basename(to, ending)}.rejects${ending || '.csv'}`));
        const { patience, say, memoryLimit } = this.#options.load ?? {};
        const db = await openDatabase({ file: this.#dbFile, mode: 'write', patience, say, memoryLimit });
        try {
            await writeRejects(db, rejected, path);
        } finally {
            db.close();
        }
    }
}
