import { z } from 'zod';
import type { Database } from '../db/database.js';
import { counted } from '../errors/words.js';
import { HALF_WIDTH } from '../stats/settings/problem.js';

const gainRow = z.object({
    chassis: z.string(),
    angle: z.string(),
    gain: z.number().nullable(),
    std_error: z.number().nullable(),
    count: z.int(),
    noise: z.number(),
});

function sentence({ chassis, angle, gain, std_error, count, noise }: z.infer<typeof gainRow>): string {
    if (gain === null || std_error === null)
        return `What ride height does to ${angle} of ${chassis} is not known: ${counted(count, 'change')} of height at one setting, 8 are needed. Read the alignment again after any change.`;
    const told = `On ${chassis} ${angle} changes by ${gain.toFixed(4)} +- ${(HALF_WIDTH * std_error).toFixed(4)} deg per mm of ride height (${counted(count, 'change')})`;
    return Math.abs(gain) <= HALF_WIDTH * std_error
        ? `${told}: no effect shows.`
        : `${told}: from ${Math.ceil((HALF_WIDTH * noise) / Math.abs(gain))} mm on that is more than two readings differ by; read the alignment again.`;
}

/** Whether the alignment has to be read again after the height changed, by the gains of the chassis of `vehicle`, of all where null. */
export async function heightNotes(db: Database, vehicle: string | null): Promise<string[]> {
    const rows = await db.rows(
        gainRow,
        `select chassis, replace(response, '_deg', '') as angle, gain_deg_per_mm as gain, std_error_deg_per_mm as std_error,
            change_count as count, noise_sd_deg as noise
        from height_gains
        where response <> 'caster_deg'
            and ($vehicle::varchar is null or chassis in (select chassis from readings where vehicle = $vehicle))
        order by all`,
        { vehicle },
    );
    return rows.map(sentence);
}
