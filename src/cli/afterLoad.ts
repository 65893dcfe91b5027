import type { Database } from '../db/database.js';
import { standing } from '../model/standing.js';

/** Questions that are named at the end of a load; the program without a command names all. */
const SHOWN = 4;

/** What can be asked after a load, what a further file would add, and names that nothing explains; none once `signal` stops it. */
export async function afterLoad(db: Database, signal: AbortSignal): Promise<string[]> {
    try {
        const { next, notes } = await standing(db);
        const asked = next.slice(0, SHOWN).map((line) => `  ${line}`);
        return [...(asked.length === 0 ? [] : [['What can be asked now:', ...asked].join('\n')]), ...notes];
    } catch (error) {
        // The rows are stored.
        if (signal.aborted) return [];
        throw error;
    }
}
