import { closeSync, existsSync, lstatSync, openSync, readdirSync, readSync } from 'node:fs';
import { join } from 'node:path';

/** Folders that the watch makes itself. */
export const OWN_FOLDERS = ['taken', 'set-aside'] as const;

/** A file below the watched folder, and the map by which its folder is read; null = our own format. */
export interface Arrival {
    /** Name of the folder below the watched one, '' = that itself. */
    folder: string;
    name: string;
    path: string;
    map: string | null;
    size: number;
    mtimeMs: number;
}

/** What browsers, copying programs and editors write before a file is whole, and what is no data. */
const notYet = /^\.|~$|\.(part|partial|tmp|temp|crdownload|download|filepart|swp|ya?ml)$/i;

function arrivalsIn(root: string, folder: string): Arrival[] {
    const place = join(root, folder);
    const map = join(place, 'map.yaml');
    return readdirSync(place)
        .filter((name) => !notYet.test(name))
        .sort()
        .flatMap((name): Arrival[] => {
            const path = join(place, name);
            const stats = lstatSync(path, { throwIfNoEntry: false });
            // Links may lead anywhere, pipes never end.
            if (stats === undefined || !stats.isFile()) return [];
            const { size, mtimeMs } = stats;
            return [{ folder, name, path, map: existsSync(map) ? map : null, size, mtimeMs }];
        });
}

/** The files in `root` and in the folders right below it. */
export function arrivals(root: string): Arrival[] {
    const folders = readdirSync(root, { withFileTypes: true })
        .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
        .map(({ name }) => name)
        .filter((name) => !(OWN_FOLDERS as readonly string[]).includes(name))
        .sort();
    return ['', ...folders].flatMap((folder) => arrivalsIn(root, folder));
}

/** Whether a file has the size and time that it had. */
export function isStill({ path, size, mtimeMs }: Arrival): boolean {
    const stats = lstatSync(path, { throwIfNoEntry: false });
    return stats?.size === size && stats.mtimeMs === mtimeMs;
}

/** Whether the last line of a file has an end: without one it may be half of a line. */
function endsLine({ path, size }: Arrival): boolean {
    if (size === 0) return false;
    const last = Buffer.alloc(1);
    const handle = openSync(path, 'r');
    try {
        readSync(handle, last, 0, 1, size - 1);
    } finally {
        closeSync(handle);
    }
    return last[0] === 0x0a || last[0] === 0x0d;
}

/** How many times as long a file has to stand still that ends within a line. */
const WITHIN_LINE = 10;

/** Tells which files have not changed for a while: whoever writes one may pause. */
export class Settling {
    readonly #seen = new Map<string, { size: number; mtimeMs: number; since: number }>();
    readonly #settleMs: number;
    readonly #now: () => number;

    constructor(settleSeconds: number, now: () => number = () => performance.now()) {
        this.#settleMs = 1000 * settleSeconds;
        this.#now = now;
    }

    /** Of `files`, those of the same size and time for so long. */
    whole(files: readonly Arrival[]): Arrival[] {
        const now = this.#now();
        const known = new Set(files.map(({ path }) => path));
        for (const path of this.#seen.keys()) if (!known.has(path)) this.#seen.delete(path);
        return files.filter((file) => {
            const { path, size, mtimeMs } = file;
            let before = this.#seen.get(path);
            if (before?.size !== size || before.mtimeMs !== mtimeMs) {
                before = { size, mtimeMs, since: now };
                this.#seen.set(path, before);
            }
            const still = now - before.since;
            return still >= this.#settleMs && (still >= WITHIN_LINE * this.#settleMs || endsLine(file));
        });
    }
}
