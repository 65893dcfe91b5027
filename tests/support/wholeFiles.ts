import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import { z } from 'zod';
import { tableOf } from '../../src/contracts/tables.js';
import { Database, identifier } from '../../src/db/database.js';

const header = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg,note';

/** Writes a file of `count` readings of cars that no other file knows, every 50th of them out of range. */
export function readingsFile(folder: string, name: string, count: number): string {
    const path = join(folder, `${name}.csv`);
    const rows = Array.from({ length: count }, (_, n) => {
        const camber = n % 50 === 7 ? 99 : -(n % 9) / 4;
        return `${name}-${n},C1,FL,2024-05-01T10:00,v1,adjust,before,${camber},a note of some length ${n}`;
    });
    writeFileSync(path, [header, ...rows, ''].join('\n'));
    return path;
}

const columns = [...tableOf('readings').columns.map(({ name }) => identifier(name)), 'source_line'];

const found = z.object({
    path: z.string(),
    row_count: z.int(),
    reject_count: z.int(),
    loaded_count: z.int().nullable(),
    rejected_count: z.int().nullable(),
    content: z.string().nullable(),
});

/**
 * Files that a database holds, each with a hash of its rows. A file of which a part only is there, rows without their
 * load or a load without its rows, fails the test.
 */
export async function wholeFiles(file: string): Promise<Map<string, string>> {
    const db = await Database.open({ file, mode: 'read' });
    try {
        const rows = await db.rows(
            found,
            `with
            taken as (
                select load_id, count(*) as row_count, sum(hash(${columns.join(', ')})::hugeint)::varchar as content
                from readings group by load_id
            ),
            aside as (select load_id, count(*) as reject_count from rejects group by load_id)
            select
                coalesce(path, '') as path,
                coalesce(row_count, 0) as row_count,
                coalesce(reject_count, 0) as reject_count,
                loaded_count,
                rejected_count,
                content
            from loads full join taken using (load_id) full join aside using (load_id)`,
        );
        for (const row of rows) {
            expect([row.row_count, row.reject_count], row.path).toEqual([
                row.loaded_count,
                row.rejected_count,
            ]);
        }
        return new Map(rows.map(({ path, content }) => [path, content ?? '']));
    } finally {
        db.close();
    }
}
