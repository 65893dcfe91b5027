import { z } from 'zod';
import type { Database } from '../db/database.js';
import { counted } from '../errors/words.js';

const pointerRow = z.object({
    kit: z.string(),
    mm: z.number(),
    low_mm: z.number(),
    high_mm: z.number(),
    read_mm: z.number(),
    move_count: z.int(),
});

/** A sentence for each of `kits` whose bearings stand off their marks by more than reading the pointer explains. */
export async function pointerNotes(db: Database, kits: readonly string[]): Promise<string[]> {
    const rows = await db.rows(
        pointerRow,
        `select
            kit,
            sqrt(variance_ratio * mark_error_mm2) as mm,
            sqrt(conf_low_ratio * mark_error_mm2) as low_mm,
            sqrt(conf_high_ratio * mark_error_mm2) as high_mm,
            sqrt(mark_error_mm2) as read_mm,
            move_count
        from pointer_errors
        inner join (select kit, max(mark_error_mm2) as mark_error_mm2 from plates group by kit) as plates using (kit)
        where conf_low_ratio > 1 and kit in (select unnest(cast($kits::json as varchar[])))
        order by kit`,
        { kits: JSON.stringify(kits) },
    );
    return rows.map(
        ({ kit, mm, low_mm, high_mm, read_mm, move_count }) =>
            `Bearings with ${kit} stand ${mm.toFixed(2)} mm off their marks (standard deviation; ${low_mm.toFixed(2)} to ${high_mm.toFixed(2)} by ${counted(move_count, 'move')}), where reading the pointer leaves ${read_mm.toFixed(2)}: every interval after a move counts that. Look for play in the slot and for how the pointer is read; mark_resolution of the kit says how finely.`,
    );
}
