import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import type { Database } from '../db/database.js';
import { type OpenDatabaseOptions, openDatabase } from '../db/openDatabase.js';
import { areSmall } from '../db/smallFiles.js';
import { isOutOfMemory } from '../errors/exhausted.js';
import type { Needs, OnMade } from './build.js';
import type { OutsideReadings } from './marks.js';

export interface OpenModelOptions
    extends Pick<OpenDatabaseOptions, 'paths' | 'patience' | 'say' | 'memoryLimit' | 'signal'> {
    needs?: Needs | Promise<Needs>;
    /** Readings beside those of the database, which is made when it is missing. */
    outside?: OutsideReadings | undefined;
    onMade?: OnMade;
    /** The tables are known not to be up to date: they are not looked at before. */
    isStale?: boolean;
}

/** A connection that makes tables beside `db`, where there is a thread for it. */
export const makersBeside = async (db: Database): Promise<Database[]> =>
    availableParallelism() > 1 ? [await db.beside()] : [];

/**
 * Opens `file` with the model tables up to date. Fresh tables are opened read-only, so that several commands may ask at once; else the
 * database is opened for writing and rebuilt, two tables at a time, and one by one thread where the memory does not suffice for
 * more. `signal` stops a rebuild: tables made till then stay.
 */
export async function openModel(file: string, options: OpenModelOptions = {}): Promise<Database> {
    const {
        paths: asked = [],
        patience,
        say,
        memoryLimit,
        signal,
        needs: wanted,
        outside,
        onMade,
        isStale = false,
    } = options;
    const paths = outside === undefined ? asked : [...asked, outside.folder];
    const isSmall = outside === undefined && areSmall(file);
    const oneThread = isSmall ? 1 : undefined;
    const opening = { file, paths, patience, say, memoryLimit, signal, threads: oneThread };
    const isNew = outside !== undefined && !existsSync(file);
    if (file !== ':memory:' && !isNew && !isStale) {
        // Read while the database is being opened, which is done by other threads.
        const building = import('./build.js');
        const reading = await openDatabase({ ...opening, mode: 'read' });
        try {
            await outside?.attach(reading);
            const { isFresh } = await building;
            if (await isFresh(reading, await wanted, outside?.state)) return reading;
        } catch (error) {
            reading.close();
            throw error;
        }
        reading.close();
    }
    const { ensureModel } = await import('./build.js');
    const needs = await wanted;
    // What is outside is known to one connection only. Of a large database a table of SQL keeps all threads busy, one that is computed a single one.
    const renewed = async (threads = oneThread, isAlone = outside !== undefined) => {
        const mode = isNew ? 'create' : 'write';
        const writing = await openDatabase({ ...opening, mode, threads, isSmall });
        try {
            await outside?.attach(writing);
            await outside?.verify(writing);
            const besides = isAlone ? [] : await makersBeside(writing);
            await ensureModel(writing, needs, outside?.state, onMade, besides, !isSmall);
            return writing;
        } catch (error) {
            writing.close();
            throw error;
        }
    };
    try {
        return await renewed();
    } catch (error) {
        if (!isOutOfMemory(error)) throw error;
        // One thread holds less at once; what was made till then stays.
        return renewed(1, true);
    }
}
