import type { Database } from '../db/database.js';
import type { Needs } from '../model/build.js';
import { type OpenModelOptions, openModel } from '../model/openModel.js';

/** What asks the database, and the tables and questions that it asks for, all where not given. */
export interface Plan<T> {
    needs?: Needs;
    ask: (db: Database) => Promise<T>;
}

/** A question whose options are checked; called, it loads the modules that ask. */
export type Question<T> = () => Promise<Plan<T>>;

export interface AskOptions
    extends Pick<
        OpenModelOptions,
        'paths' | 'onMade' | 'isStale' | 'patience' | 'say' | 'memoryLimit' | 'signal'
    > {
    /** Folder of Parquet files with readings beside those of the database. */
    readings?: string | undefined;
    /** Hears that the tables stand, or that they could not be made. */
    onOpened?: () => void;
}

async function folderReadings(folder: string) {
    const { parquetFiles } = await import('../load/folder/parquetFiles.js');
    const { FolderReadings } = await import('../load/folder/folderReadings.js');
    return new FolderReadings(parquetFiles(folder));
}

/**
 * Opens the database `file` with its model up to date, asks it, and closes it. What the question needs is loaded while the database is
 * being opened. An abort of the signal stops it.
 */
export async function askModel<T>(
    file: string,
    question: Question<T>,
    { readings, onOpened, ...opening }: AskOptions,
): Promise<T> {
    const planned = question();
    const db = await openModel(file, {
        ...opening,
        needs: planned.then(({ needs }) => needs),
        outside: readings === undefined ? undefined : await folderReadings(readings),
    }).finally(onOpened);
    try {
        return await (await planned).ask(db);
    } finally {
        db.close();
    }
}
