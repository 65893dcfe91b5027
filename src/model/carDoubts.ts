import { z } from 'zod';
import type { Database } from '../db/database.js';
import { otherSpelling, stateOfNoDay } from '../errors/messages.js';

const spelling = z.object({ doubt: z.literal('spelling'), other_name: z.string(), reading_count: z.int() });
const date = z.object({
    doubt: z.literal('date'),
    visit: z.string(),
    read_on: z.string(),
    loaded_on: z.string().nullable(),
});

/** Why an answer about `vehicle` may start from the wrong state, as sentences; the first half of a name that was split, or a date that cannot be. */
export async function carDoubts(db: Database, vehicle: string): Promise<string[]> {
    const rows = await db.rows(
        z.discriminatedUnion('doubt', [spelling, date]),
        'select * from car_doubts($vehicle) order by all',
        { vehicle },
    );
    return rows.map((row) =>
        row.doubt === 'spelling'
            ? otherSpelling(vehicle, row.other_name, row.reading_count)
            : stateOfNoDay(vehicle, row.visit, row.read_on, row.loaded_on),
    );
}
