import { hardware, shafts } from '../../../fixtures/season/boxes.js';
import type { Database } from '../../../src/db/database.js';
import { reportQueries } from '../../../src/report/registry.js';
import { modelOf } from '../memory.js';
import { markup } from './slopes.js';

/** An in-memory database of the example season's boxes and shafts, with a part whose name looks like markup. */
export default function database(): Promise<Database> {
    return modelOf(
        {
            shafts,
            hardware: hardware.map((row) => ({
                ...row,
                part: row.part === 'A-upper-14' ? markup : row.part,
            })),
        },
        1,
        reportQueries(['stack']),
    );
}
