import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../packageRoot.js';
import type { Database } from './database.js';

/** Whether every input table has the columns of its template in `shared/`, which is quicker to read than the contract. */
export async function holdsInputColumns(db: Database): Promise<boolean> {
    const folder = join(packageRoot(), 'shared', 'templates');
    for (const file of readdirSync(folder)) {
        const columns = readFileSync(join(folder, file), 'utf8').trim().split(',');
        if (!(await db.holds(file.slice(0, -'.csv'.length), columns))) return false;
    }
    return true;
}
