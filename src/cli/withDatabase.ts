import type { Database } from '../db/database.js';
import type { Context } from './command.js';

/** Does `work` with the database that the command names, which is open only meanwhile. */
export async function withDatabase<T>(
    context: Context,
    mode: 'read' | 'write',
    work: (db: Database) => Promise<T>,
): Promise<T> {
    const { openDatabase } = await import('../db/openDatabase.js');
    const { opening } = await import('./opening.js');
    const db = await openDatabase({ file: context.options.db, mode, ...opening(context) });
    try {
        return await work(db);
    } finally {
        db.close();
    }
}
