import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Database } from '../db/database.js';
import { packageRoot } from '../packageRoot.js';
import { parseReferences, type References, textKey } from './references.js';
import { questionFiles } from './sqlFile.js';

/** What each file of `sql` and `reports` names, by the key of its text: the content of REFERENCES_FILE. */
export async function packageReferences(): Promise<Record<string, References>> {
    const db = await Database.open({ file: ':memory:', mode: 'create' });
    const found: Record<string, References> = {};
    for (const folder of ['sql', 'reports']) {
        const path = join(packageRoot(), folder);
        for (const file of readdirSync(path, { recursive: true, encoding: 'utf8' }).sort()) {
            if (!file.endsWith('.sql')) continue;
            const text = readFileSync(join(path, file), 'utf8');
            found[textKey(text)] = await parseReferences(db, text);
        }
    }
    for (const { query } of questionFiles()) found[textKey(query)] ??= await parseReferences(db, query);
    db.close();
    return found;
}
