import { z } from 'zod';
import type { MergeRow } from '../contracts/results/merge.js';
import type { Database } from '../db/database.js';
import { countedOnce, splitCodes } from '../errors/messages.js';
import { programName } from '../errors/programName.js';
import { counted } from '../errors/words.js';
import { borrowedNotes } from '../model/borrowedNotes.js';

const sizes = z.object({ site_count: z.int(), vehicle_count: z.int() });

/** Codes that differ only in what check takes for spelling, together. */
async function splitChassis(db: Database): Promise<string[]> {
    const found = await db.rows(
        z.object({ codes: z.string() }),
        `select string_agg('"' || chassis || '"', ' and ' order by chassis) as codes
        from (select distinct chassis from shared where kind = 'chassis')
        group by name_key(chassis)
        having count(*) > 1
        order by codes`,
    );
    return found.length === 0 ? [] : [splitCodes(found.map(({ codes }) => codes))];
}

/** What a reader of the pooled numbers must know, as sentences. */
export async function mergedNotes(db: Database, rows: readonly MergeRow[]): Promise<string[]> {
    const [size] = await db.rows(
        sizes,
        'select count(distinct site) as site_count, count(distinct vehicle) as vehicle_count from shared',
    );
    const down = rows
        .filter((row) => row.axis === 'out')
        .reduce((sum, row) => sum + row.downweighted_count, 0);
    const [again] = await db.rows(z.object({ car_count: z.int() }), 'select car_count from counted_once');
    return [
        `${counted(size!.site_count, 'site')}, ${counted(size!.vehicle_count, 'car')}. A car that two sites know counts as two: standard errors of such cars may be too small, at most 1.4 times.`,
        ...(again!.car_count === 0 ? [] : [countedOnce(again!.car_count)]),
        ...(await splitChassis(db)),
        ...rows
            .filter((row) => row.flag !== null)
            .map((row) => `${row.chassis}, ${row.response} per mm ${row.axis}: ${row.flag}.`),
        ...(down === 0
            ? []
            : [
                  `${counted(down, 'change')} down-weighted as far from the others; each site can find its own with ${programName('')} check --only downweighted_moves --all.`,
              ]),
        ...(await borrowedNotes(db)),
    ];
}
