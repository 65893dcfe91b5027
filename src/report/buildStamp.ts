import { z } from 'zod';
import type { Database } from '../db/database.js';
import { packageVersion } from '../packageRoot.js';

/** What a page was made from. */
export interface BuildStamp {
    version: string;
    reading_count: number;
    load_count: number;
    /** Day of the newest reading; null where there is none. */
    newest_day?: string | null;
    /** Day on which the page was made. */
    made_day?: string;
}

const counts = z.object({
    reading_count: z.int(),
    load_count: z.int(),
    newest_day: z.string().nullable(),
});

/** Today; the day of `SOURCE_DATE_EPOCH`, seconds since 1970, where it is set: so pages can be made again to the byte. */
function today(): string {
    const epoch = process.env.SOURCE_DATE_EPOCH;
    const time =
        epoch !== undefined && /^\d{1,11}$/.test(epoch) ? new Date(1000 * Number(epoch)) : new Date();
    return time.toISOString().slice(0, 10);
}

/** The stamp of a page made from `db` on day `made_day`. */
export async function buildStamp(db: Database, made_day = today()): Promise<BuildStamp> {
    const [row] = await db.rows(
        counts,
        `select
            (select count(*) from readings) as reading_count,
            (select count(*) from loads) as load_count,
            (select max(left(measured_at, 10)) from readings) as newest_day`,
    );
    return { version: packageVersion(), ...row!, made_day };
}
