import { Database, type OpenOptions } from '../db/database.js';
import { ensureModel, isFresh, type Needs } from './build.js';

export interface OpenModelOptions extends Pick<OpenOptions, 'paths'> {
    /** Stops a rebuild and leaves the tables as they were. */
    signal?: AbortSignal;
    needs?: Needs;
}

/**
 * Opens `file` with the model tables up to date. Fresh tables are opened read-only, so that several commands may ask at
 * once; else the database is opened for writing and rebuilt.
 */
export async function openModel(
    file: string,
    { paths = [], signal, needs }: OpenModelOptions = {},
): Promise<Database> {
    if (file !== ':memory:') {
        const reading = await Database.open({ file, mode: 'read', paths });
        try {
            if (await isFresh(reading, needs)) return reading;
        } catch (error) {
            reading.close();
            throw error;
        }
        reading.close();
    }
    const writing = await Database.open({ file, mode: 'write', paths });
    const interrupt = () => writing.interrupt();
    signal?.addEventListener('abort', interrupt, { once: true });
    try {
        await ensureModel(writing, needs);
        return writing;
    } catch (error) {
        writing.close();
        throw error;
    } finally {
        signal?.removeEventListener('abort', interrupt);
    }
}
