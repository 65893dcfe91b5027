import { z } from 'zod';
import type { Database } from '../../db/database.js';

const counted = z.object({ row_count: z.int() });

/** How many rows there are; `from`: what stands behind FROM. */
export async function countOf(db: Database, from: string): Promise<number> {
    const [row] = await db.rows(counted, `select count(*) as row_count from ${from}`);
    return row!.row_count;
}
