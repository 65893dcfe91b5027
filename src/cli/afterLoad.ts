import { openDatabase } from '../db/openDatabase.js';
import { UserError } from '../errors/errors.js';
import { standing } from '../model/standing.js';

/** Questions that are named at the end of a load; the program without a command names all. */
const SHOWN = 4;

/** What can be asked after a load, what a further file would add, and names that nothing explains; none while it cannot be told. */
export async function afterLoad(file: string): Promise<string[]> {
    const db = await openDatabase({ file, mode: 'read' }).catch((error: unknown) => {
        // The rows are stored; another process may hold the database by now.
        if (error instanceof UserError) return null;
        throw error;
    });
    if (db === null) return [];
    try {
        const { next, notes } = await standing(db, file);
        const asked = next.slice(0, SHOWN).map((line) => `  ${line}`);
        return [...(asked.length === 0 ? [] : [['What can be asked now:', ...asked].join('\n')]), ...notes];
    } finally {
        db.close();
    }
}
