import {
    closeSync,
    fsyncSync,
    lstatSync,
    openSync,
    readFileSync,
    renameSync,
    writeFileSync,
    writeSync,
} from 'node:fs';
import { join } from 'node:path';

interface Taken {
    /** Below the watched folder. */
    file: string;
    moved_to: string;
    size: number;
    /** Milliseconds since 1970. */
    at: number;
}

/** A file that was taken may still be open where it is written: it is looked at for this long. */
const WATCHED_MS = 24 * 3600 * 1000;

/** How large each file was when it was taken, in `taken/.sizes`, so that one that grows afterwards is noticed, also by the next process. */
export class Ledger {
    readonly #root: string;
    readonly #path: string;
    readonly #now: () => number;
    #taken: Taken[];

    constructor(root: string, now: () => number = Date.now) {
        this.#root = root;
        this.#path = join(root, 'taken', '.sizes');
        this.#now = now;
        this.#taken = this.#read();
        const part = `${this.#path}.${process.pid}`;
        writeFileSync(part, this.#taken.map((one) => `${JSON.stringify(one)}\n`).join(''));
        renameSync(part, this.#path);
    }

    #read(): Taken[] {
        try {
            const lines = readFileSync(this.#path, 'utf8').split('\n');
            // The last line may have been cut by a kill.
            const known = lines.flatMap((line) => {
                try {
                    return [JSON.parse(line) as Taken];
                } catch {
                    return [];
                }
            });
            return known.filter(({ at }) => this.#now() - at < WATCHED_MS);
        } catch {
            return [];
        }
    }

    /** Notes, on disk, that `file` is about to be moved. */
    note(file: string, moved_to: string, size: number): void {
        const one = { file, moved_to, size, at: this.#now() };
        this.#taken.push(one);
        const handle = openSync(this.#path, 'a');
        writeSync(handle, `${JSON.stringify(one)}\n`);
        fsyncSync(handle);
        closeSync(handle);
    }

    /** The files that are larger than they were when they were taken; each is named once. */
    grown(): Taken[] {
        const now = this.#now();
        this.#taken = this.#taken.filter(({ at }) => now - at < WATCHED_MS);
        const grown = this.#taken.filter(({ moved_to, size }) => {
            const stats = lstatSync(join(this.#root, moved_to), { throwIfNoEntry: false });
            return stats?.isFile() === true && stats.size > size;
        });
        this.#taken = this.#taken.filter((one) => !grown.includes(one));
        return grown;
    }
}
