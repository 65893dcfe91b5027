import type { Command } from 'commander';
import type { Database } from '../db/database.js';
import { type OpenModelOptions, openModel } from '../model/openModel.js';
import type { Context } from './command.js';

/** Opens the database with its model up to date, asks it, and closes it; Ctrl-C interrupts. */
export async function withModel<T>(
    command: Command,
    context: Context,
    ask: (db: Database) => Promise<T>,
    options: Omit<OpenModelOptions, 'signal'> = {},
): Promise<T> {
    const db = await openModel(context.options(command).db, { ...options, signal: context.signal });
    const interrupt = () => db.interrupt();
    context.signal.addEventListener('abort', interrupt, { once: true });
    try {
        return await ask(db);
    } finally {
        context.signal.removeEventListener('abort', interrupt);
        db.close();
    }
}
