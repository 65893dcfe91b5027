import type { Database } from '../db/database.js';
import type { SqlFile } from './sqlFile.js';

/**
 * Time after which what has been made is committed: DuckDB joins what it has committed in a better order, a large build need not stay in
 * memory, and a build that is stopped keeps what it has made.
 */
const BATCH_MS = 250;

/** A table to make, and those of these tables that it is made from. */
export interface Step {
    model: SqlFile;
    sources: readonly SqlFile[];
}

/** What a computed table takes, in queries, about. */
const COMPUTED = 4;

/** By table, the longest way from its beginning to the end of the build, in queries. */
function waysToEnd(steps: readonly Step[]): Map<SqlFile, number> {
    const ways = new Map(steps.map(({ model }) => [model, 0]));
    for (const { model, sources } of [...steps].reverse()) {
        const way = ways.get(model)! + (model.isComputed ? COMPUTED : 1);
        ways.set(model, way);
        for (const source of sources) ways.set(source, Math.max(ways.get(source)!, way));
    }
    return ways;
}

/**
 * Makes the tables of `steps`, in run order, over several connections to one database: each makes what its own transaction sees the sources
 * of, first what has the longest way to the end behind it. One table is computed at a time, as there is one thread for it, and begins a
 * transaction, so that no other waits for it to see what was made before. `make` makes one and says whether it had to; `store` puts down which a
 * transaction has made, before it is committed. `areApart`: the first makes what SQL makes, the second, if there is one, what is computed.
 * Throws what the first of them throws, once none is at work.
 */
export async function makeTables(
    connections: readonly Database[],
    steps: readonly Step[],
    make: (db: Database, model: SqlFile) => Promise<boolean>,
    store: (db: Database, made: readonly SqlFile[]) => Promise<void>,
    areApart = false,
): Promise<void> {
    const isApart = areApart && connections.length > 1;
    const ways = waysToEnd(steps);
    const left = new Set([...steps].sort((a, b) => ways.get(b.model)! - ways.get(a.model)!));
    const committed = new Set<SqlFile>();
    const idle: (() => void)[] = [];
    let isComputing = false;
    let isStopped = false;
    const wakeAll = () => {
        for (const wake of idle.splice(0)) wake();
    };
    const mayMake = (db: Database, { isComputed }: SqlFile) =>
        isApart ? isComputed === (db !== connections[0]) : !(isComputed && isComputing);

    /** Makes what can be made in one transaction; whether that was anything. */
    const batch = async (db: Database): Promise<boolean> => {
        const seen = new Set(committed);
        const made: SqlFile[] = [];
        /** Takes the next of what can be made; none where that is nothing, or is better made in a transaction of its own. */
        const take = (): SqlFile | undefined => {
            const step = [...left].find(
                ({ model, sources }) =>
                    mayMake(db, model) &&
                    sources.every((source) => committed.has(source) || made.includes(source)),
            );
            if (step === undefined || (step.model.isComputed && made.length > 0)) return undefined;
            if (!step.sources.every((source) => seen.has(source) || made.includes(source))) return undefined;
            left.delete(step);
            isComputing ||= step.model.isComputed;
            return step.model;
        };
        let model = take();
        if (model === undefined) return false;
        await db.transaction(async () => {
            const end = performance.now() + BATCH_MS;
            while (model !== undefined) {
                const isMade = await make(db, model);
                if (model.isComputed) isComputing = false;
                if (isMade) made.push(model);
                else {
                    committed.add(model);
                    seen.add(model);
                }
                model = isStopped || idle.length > 0 || performance.now() > end ? undefined : take();
            }
            if (made.length > 0) await store(db, made);
        });
        for (const model of made) committed.add(model);
        return true;
    };
    const work = async (db: Database) => {
        try {
            while (left.size > 0 && !isStopped) {
                if (await batch(db)) wakeAll();
                else await new Promise<void>((wake) => idle.push(wake));
            }
        } catch (error) {
            isStopped = true;
            throw error;
        } finally {
            wakeAll();
        }
    };
    const ends = await Promise.allSettled(connections.map(work));
    for (const end of ends) if (end.status === 'rejected') throw end.reason;
}
