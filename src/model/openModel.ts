import { Database, type OpenOptions } from '../db/database.js';
import { ensureModel, isFresh } from './build.js';

/**
 * Opens `file` with every model table up to date. Fresh tables are opened read-only, so that several commands may ask at
 * once; else the database is opened for writing and rebuilt; `signal` stops that and
 * leaves the tables as they were. `paths` as in {@link OpenOptions}.
 */
export async function openModel(
    file: string,
    { paths = [], signal }: Pick<OpenOptions, 'paths'> & { signal?: AbortSignal } = {},
): Promise<Database> {
    if (file !== ':memory:') {
        const reading = await Database.open({ file, mode: 'read', paths });
        try {
            if (await isFresh(reading)) return reading;
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
        await ensureModel(writing);
        return writing;
    } catch (error) {
        writing.close();
        throw error;
    } finally {
        signal?.removeEventListener('abort', interrupt);
    }
}
