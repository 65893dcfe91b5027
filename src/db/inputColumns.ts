import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../packageRoot.js';
import { type Database, identifier } from './database.js';

/** Whether every input table has the columns of its template in `shared/`, which is quicker to read than the contract. */
export async function holdsInputColumns(db: Database): Promise<boolean> {
    const folder = join(packageRoot(), 'shared', 'templates');
    const each = readdirSync(folder).map((file) => {
        const columns = readFileSync(join(folder, file), 'utf8').trim().split(',');
        const table = identifier(file.slice(0, -'.csv'.length));
        return `(select ${columns.map(identifier).join(', ')} from ${table} limit 0)`;
    });
    return db.binds(`select 1 from ${each.join(', ')}`);
}
