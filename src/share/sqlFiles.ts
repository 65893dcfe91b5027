import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../packageRoot.js';

/** A query of `sql/share` or `sql/merge`: `name` is the kind of row that it makes, or the table that it fills. */
export interface NamedQuery {
    name: string;
    query: string;
}

/** The queries of `sql/FOLDER`, in order. */
export function queriesOf(folder: 'share' | 'merge'): NamedQuery[] {
    const path = join(packageRoot(), 'sql', folder);
    return readdirSync(path)
        .filter((file) => file.endsWith('.sql'))
        .sort()
        .map((file) => ({
            name: file.slice(4, -'.sql'.length),
            query: readFileSync(join(path, file), 'utf8'),
        }));
}
