import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type CheckRow, checkRow } from '../contracts/results/check.js';
import type { Database } from '../db/database.js';
import { packageRoot } from '../packageRoot.js';

/** One query of `sql/checks`: returns the offending rows; its header says what they mean. */
export interface Check {
    name: string;
    title: string;
    likely: string;
    mend: string;
    query: string;
}

/** The checks in name order. Throws when a header misses its title, likely or mend line. */
export function checks(): Check[] {
    const folder = join(packageRoot(), 'sql', 'checks');
    return readdirSync(folder)
        .filter((file) => file.endsWith('.sql'))
        .sort()
        .map((file) => {
            const query = readFileSync(join(folder, file), 'utf8');
            const header = (key: string) => {
                const found = new RegExp(`^-- ${key}: (.+)$`, 'm').exec(query)?.[1];
                if (found === undefined)
                    throw new Error(`sql/checks/${file}: the header has no line "-- ${key}: ..."`);
                return found;
            };
            return {
                name: file.replace(/\.sql$/, ''),
                title: header('title'),
                likely: header('likely'),
                mend: header('mend'),
                query,
            };
        });
}

/** What looks wrong in the accepted data: the rows of every check, surest first within a check. */
export async function check(db: Database): Promise<{ rows: CheckRow[]; notes: string[] }> {
    const rows: CheckRow[] = [];
    const notes: string[] = [];
    for (const { name, title, likely, mend, query } of checks()) {
        const found = await db.cells(
            `select chassis, vehicle, corner, visit, finding, p_mistake, source_file as file, source_line as line
            from (${query}) order by p_mistake desc nulls last, file, line, vehicle, visit, corner, finding`,
        );
        for (const row of found) rows.push(checkRow.parse({ check: name, likely, mend, ...row }));
        if (found.length > 0) notes.push(`${title}: ${found.length}. Likely: ${likely}. To mend: ${mend}.`);
    }
    if (rows.length === 0) notes.push('Nothing looks wrong.');
    return { rows, notes };
}
