import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Database } from '../../src/db/database.js';
import { createSchema } from '../../src/db/schema.js';
import {
    emptyReport,
    type LoadOptions,
    type LoadReport,
    loadPrepared,
    prepareAll,
} from '../../src/load/loadFiles.js';
import { spoolFolder } from '../../src/load/spoolFolder.js';

/** Takes CSV files into an opened database that may read `folder`. */
export async function loadInto(
    db: Database,
    folder: string,
    files: readonly string[],
    options: LoadOptions = {},
): Promise<LoadReport> {
    const report = emptyReport();
    await createSchema(db);
    await loadPrepared(db, folder, await prepareAll(files, options, report), options, report);
    return report;
}

/** A database in memory with a folder for input files; `close` removes both. */
export interface LoadBench {
    db: Database;
    folder: string;
    /** Writes `content` to a file of that name and loads it. */
    load(name: string, content: string | Uint8Array, options?: LoadOptions): Promise<LoadReport>;
    close(): void;
}

export async function loadBench(): Promise<LoadBench> {
    const spool = spoolFolder();
    const folder = mkdtempSync(join(spool, 'input-'));
    const db = await Database.open({ file: ':memory:', mode: 'create', paths: [spool] });
    return {
        db,
        folder,
        load: (name, content, options) => {
            const path = join(folder, name);
            writeFileSync(path, content);
            return loadInto(db, spool, [path], options);
        },
        close: () => {
            db.close();
            rmSync(spool, { recursive: true });
        },
    };
}
