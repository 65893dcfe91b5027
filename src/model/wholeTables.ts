import { type Database, identifier } from '../db/database.js';
import type { Row } from '../stats/tables/batch.js';

/** The rows of small tables, by their names, in an order of their own. */
export async function wholeTables(db: Database, names: readonly string[]): Promise<Record<string, Row[]>> {
    const whole: Record<string, Row[]> = {};
    for (const name of names)
        whole[name] = (await db.cells(`select * from ${identifier(name)} order by all`)) as Row[];
    return whole;
}
