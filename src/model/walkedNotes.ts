import { z } from 'zod';
import type { Database } from '../db/database.js';

const walkedRow = z.object({
    gauge: z.string(),
    angle: z.string(),
    read_on: z.string(),
    walked_deg: z.number(),
    sd_deg: z.number(),
});

/** What gauges that walk had moved when they read the front of `vehicle` as it stands, a sentence each where it is a hundredth or more. */
export async function walkedNotes(db: Database, vehicle: string): Promise<string[]> {
    const rows = await db.rows(
        walkedRow,
        `with
        present as (
            select unnest([
                {'angle': 'camber', 'gauge': camber_gauge, 'reader': camber_reader, 'ts': camber_ts},
                {'angle': 'caster', 'gauge': caster_gauge, 'reader': caster_reader, 'ts': caster_ts}
            ], recursive := true)
            from present_corners where vehicle = $vehicle
        )
        select distinct
            gauge,
            angle,
            strftime(ts, '%Y-%m-%d') as read_on,
            walked(walk, weeks_of(ts)) as walked_deg,
            sqrt(walk[2]) * abs(weeks_into(walk, weeks_of(ts))) as sd_deg
        from present
        inner join reader_noise on reader_noise.reader = present.reader and response = angle || '_deg'
        where walk is not null and ts is not null
            and greatest(abs(walked_deg), sd_deg) >= 0.01
        order by all`,
        { vehicle },
    );
    return rows.map(
        ({ gauge, angle, read_on, walked_deg, sd_deg }) =>
            `${gauge} walks (see gauges): of the ${angle} that it read on ${read_on} ${walked_deg.toFixed(2)} +-${sd_deg.toFixed(2)} deg is taken off, what it moved since the middle of its readings (standard error).`,
    );
}
