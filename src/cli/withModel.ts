import type { Command } from 'commander';
import type { Database } from '../db/database.js';
import { type OpenModelOptions, openModel } from '../model/openModel.js';
import type { Context } from './command.js';
import { opening } from './opening.js';

async function folderReadings(folder: string) {
    const { parquetFiles } = await import('../load/folder/parquetFiles.js');
    const { FolderReadings } = await import('../load/folder/folderReadings.js');
    return new FolderReadings(parquetFiles(folder));
}

/** Opens the database with its model up to date, asks it, and closes it; Ctrl-C interrupts. */
export async function withModel<T>(
    command: Command,
    context: Context,
    ask: (db: Database) => Promise<T>,
    options: Omit<OpenModelOptions, 'signal'> = {},
): Promise<T> {
    const { db: file, readings } = context.options(command);
    const outside = readings === undefined ? undefined : await folderReadings(readings);
    const db = await openModel(file, {
        ...options,
        ...opening(command, context),
        signal: context.signal,
        outside,
    });
    const interrupt = () => db.interrupt();
    context.signal.addEventListener('abort', interrupt, { once: true });
    try {
        return await ask(db);
    } finally {
        context.signal.removeEventListener('abort', interrupt);
        db.close();
    }
}
