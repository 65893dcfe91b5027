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

/** How many of `steps` follow from each, by way of others too. */
function followers(steps: readonly Step[]): Map<SqlFile, number> {
    const after = new Map(steps.map(({ model }) => [model, new Set<SqlFile>()]));
    for (const { model, sources } of [...steps].reverse())
        for (const source of sources)
            for (const one of [model, ...after.get(model)!]) after.get(source)!.add(one);
    return new Map([...after].map(([model, found]) => [model, found.size]));
}

/**
 * Makes the tables of `steps`, in run order, over several connections to one database: each makes what its own transaction sees the sources
 * of, first what most others wait for. `make` makes one and says whether it had to; `store` puts down which a transaction has made, before it is
 * committed. `areApart`: the first makes what SQL makes, the second, if there is one, what is computed. Throws what the first of them throws, once none is at work.
 */
export async function makeTables(
    connections: readonly Database[],
    steps: readonly Step[],
    make: (db: Database, model: SqlFile) => Promise<boolean>,
    store: (db: Database, made: readonly SqlFile[]) => Promise<void>,
    areApart = false,
): Promise<void> {
    const isApart = areApart && connections.length > 1;
    const follow = followers(steps);
    const left = new Set([...steps].sort((a, b) => follow.get(b.model)! - follow.get(a.model)!));
    const committed = new Set<SqlFile>();
    const idle: (() => void)[] = [];
    let isStopped = false;
    const wakeAll = () => {
        for (const wake of idle.splice(0)) wake();
    };

    /** Makes what can be made in one transaction; whether that was anything. */
    const batch = async (db: Database): Promise<boolean> => {
        const seen = new Set(committed);
        const next = () =>
            [...left].find(
                ({ model, sources }) =>
                    (!isApart || model.isComputed === (db !== connections[0])) &&
                    sources.every((source) => seen.has(source)),
            );
        if (next() === undefined) return false;
        const [tried, made]: SqlFile[][] = [[], []];
        await db.transaction(async () => {
            const end = performance.now() + BATCH_MS;
            do {
                const step = next();
                if (step === undefined) break;
                left.delete(step);
                if (await make(db, step.model)) made!.push(step.model);
                tried!.push(step.model);
                seen.add(step.model);
            } while (!isStopped && idle.length === 0 && performance.now() < end);
            if (made!.length > 0) await store(db, made!);
        });
        for (const model of tried!) committed.add(model);
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
