import { z } from 'zod';
import type { ForgottenRow } from '../contracts/results/forget.js';
import { type Database, identifier } from '../db/database.js';

const known = z.object({ kind: z.string(), byte_count: z.int(), load_id: z.int() });

const keyOf = (kind: string, byteCount: number) => `${kind} ${byteCount}`;

/** What one run of `load` knows of the database, so that it need not ask again for each of many files. */
export class LoadRun {
    readonly db: Database;
    readonly #sizes: Set<string>;
    #lastLoadId: number;
    #rejectsWait: boolean;
    readonly #filled = new Set<string>();
    /** What people should know of the files so far. */
    readonly notes: string[] = [];
    /** Rows that the files no longer hold which stand in for an earlier load. */
    readonly gone: ForgottenRow[] = [];
    /** Loads of this run, and earlier ones whose bytes came again. */
    readonly #counted = new Set<number>();
    /** Rows that these set aside. */
    asideCount = 0;

    private constructor(db: Database, loads: readonly z.infer<typeof known>[], rejectsWait: boolean) {
        this.db = db;
        this.#sizes = new Set(loads.map((load) => keyOf(load.kind, load.byte_count)));
        this.#lastLoadId = loads.reduce((last, load) => Math.max(last, load.load_id), 0);
        this.#rejectsWait = rejectsWait;
    }

    static async begin(db: Database): Promise<LoadRun> {
        const loads = await db.rows(
            known,
            'select kind, byte_count, max(load_id) as load_id from loads group by all',
        );
        const waiting = await db.cells('select 1 from rejects where cleared_by is null limit 1');
        return new LoadRun(db, loads, waiting.length > 0);
    }

    get nextLoadId(): number {
        return this.#lastLoadId + 1;
    }

    /** False when no file of that kind and size was loaded before. */
    mayHaveLoaded(kind: string, byteCount: number): boolean {
        return this.#sizes.has(keyOf(kind, byteCount));
    }

    /** Whether no row of that kind is stored. */
    async isEmpty(kind: string): Promise<boolean> {
        if (this.#filled.has(kind)) return false;
        const found = await this.db.cells(`select 1 from ${identifier(kind)} limit 1`);
        if (found.length > 0) this.#filled.add(kind);
        return found.length === 0;
    }

    /** False when no row waits to be mended. */
    get rejectsWait(): boolean {
        return this.#rejectsWait;
    }

    /** Notes that the load {@link nextLoadId} has been made. */
    noteLoad(kind: string, byteCount: number, rejectedCount: number): void {
        this.#lastLoadId++;
        this.noteAside(this.#lastLoadId, rejectedCount);
        this.#sizes.add(keyOf(kind, byteCount));
        this.#rejectsWait ||= rejectedCount > 0;
    }
    /** Counts the rows that load `loadId` set aside, once. */
    noteAside(loadId: number, rejectedCount: number): void {
        if (!this.#counted.has(loadId)) this.asideCount += rejectedCount;
        this.#counted.add(loadId);
    }
}
