import type { Command } from 'commander';
import type { Database } from '../db/database.js';
import type { Needs } from '../model/build.js';
import { type OpenModelOptions, openModel } from '../model/openModel.js';
import type { Context } from './command.js';
import { opening } from './opening.js';
import { modelProgress } from './progress.js';

async function folderReadings(folder: string) {
    const { parquetFiles } = await import('../load/folder/parquetFiles.js');
    const { FolderReadings } = await import('../load/folder/folderReadings.js');
    return new FolderReadings(parquetFiles(folder));
}

/** What a command asks, and the tables and questions that it asks for, all where not given. */
export interface Plan<T> {
    needs?: Needs;
    ask: (db: Database) => Promise<T>;
}

/**
 * Opens the database with its model up to date, asks it, and closes it; Ctrl-C interrupts. `plan` loads the modules that ask, while the
 * database is being opened; what is wrong with the options is to be said before.
 */
export async function withModel<T>(
    command: Command,
    context: Context,
    plan: () => Promise<Plan<T>>,
    options: Pick<OpenModelOptions, 'paths' | 'onMade'> = {},
): Promise<T> {
    const { db: file, readings } = context.options(command);
    const planned = plan();
    const output = context.output(command);
    const db = await openModel(file, {
        ...(output.isLive && { onMade: modelProgress(output) }),
        ...options,
        needs: planned.then(({ needs }) => needs),
        ...opening(command, context),
        outside: readings === undefined ? undefined : await folderReadings(readings),
    }).finally(() => output.progressDone());
    try {
        const { ask } = await planned;
        return await ask(db);
    } finally {
        db.close();
    }
}
