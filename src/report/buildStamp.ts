import { z } from 'zod';
import type { Database } from '../db/database.js';
import { packageVersion } from '../packageRoot.js';

/** What a page was made from. */
export interface BuildStamp {
    version: string;
    reading_count: number;
    load_count: number;
}

const counts = z.object({ reading_count: z.int(), load_count: z.int() });

/** The stamp of a page made now from `db`. */
export async function buildStamp(db: Database): Promise<BuildStamp> {
    const [row] = await db.rows(
        counts,
        'select (select count(*) from readings) as reading_count, (select count(*) from loads) as load_count',
    );
    return { version: packageVersion(), ...row! };
}
