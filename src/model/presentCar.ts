import { z } from 'zod';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noAngles, noFrontReading, placementUnknown } from '../errors/messages.js';
import { cornerName } from '../units/cornerName.js';
import { carDoubts } from './carDoubts.js';
import { requireName } from './names.js';
import { place, placeOf } from './settingQuestion.js';

const presentCorner = z.object({
    corner: z.string(),
    chassis: z.string(),
    visit: z.string(),
    read_on: z.string().nullable(),
    kit: z.string().nullable(),
    plate_index: z.int().nullable(),
    offset_missing: z.string().nullable(),
    camber_deg: z.number().nullable(),
    camber_visit: z.string().nullable(),
    caster_deg: z.number().nullable(),
    caster_visit: z.string().nullable(),
    undated_visit: z.string().nullable(),
    changed_since: z.string().nullable(),
    ...place,
});

/** SQL: what a row of changes says, such as `the spring was changed on 2026-03-20 (60 to 80 N/mm)`. */
const changeWords = `concat(
    case what when 'impact' then 'the car was hit' else 'the ' || what || ' was changed' end,
    ' on ', left(changed_at, 10), ' (' || note || ')'
)`;

/** What was changed on `vehicle` after the day `from` (ISO 8601), as a list of words; null where nothing was. */
export async function changedAfter(db: Database, vehicle: string, from: string): Promise<string | null> {
    const [row] = await db.cells(
        `select string_agg(words, ', ' order by changed_at, words) as words
        from (
            select min(changed_at) as changed_at, ${changeWords} as words from changes
            where vehicle = $vehicle and coalesce(corner, 'FL') in ('FL', 'FR') and left(changed_at, 10) > $from
            group by words
        )`,
        { vehicle, from },
    );
    return row!.words as string | null;
}

type PresentCorner = z.infer<typeof presentCorner>;

/** The front corners of `vehicle` as they stand; a UserError where place or angles of one are not known. */
export async function presentCar(db: Database, vehicle: string): Promise<PresentCorner[]> {
    await requireName(db, 'readings', 'vehicle', vehicle);
    const corners = await db.rows(
        presentCorner,
        `select corner, chassis, visit, strftime(measured_ts, '%Y-%m-%d') as read_on, kit, plate_index, offset_missing,
            camber_deg, camber_visit, caster_deg, caster_visit, source_file, source_line,
            (
                select min(visit)
                from (
                    select visit from placements
                    where vehicle = $vehicle and corner = newest.corner and visit <> newest.visit
                        and cast(measured_ts as date) = cast(newest.measured_ts as date)
                    group by visit having not bool_or(has_clock(measured_at))
                )
            ) as undated_visit,
            (
                select string_agg(words, ', ' order by changed_at, words)
                from (
                    select
                        changed_at,
                        ${changeWords} as words
                    from changes
                    where vehicle = $vehicle and (corner is null or corner = newest.corner)
                        and wall_time(changed_at) > newest.measured_ts
                )
            ) as changed_since
        from present_corners as newest where vehicle = $vehicle order by corner`,
        { vehicle },
    );
    if (corners.length === 0) throw new UserError(noFrontReading(vehicle), 'not_in_data');
    for (const row of corners) {
        if (row.offset_missing !== null) {
            throw new UserError(
                placementUnknown(row.corner, row.offset_missing, placeOf(row)),
                'not_in_data',
            );
        }
        if (row.camber_deg === null && row.caster_deg === null) {
            throw new UserError(noAngles(row.corner, placeOf(row)), 'not_in_data');
        }
    }
    return corners;
}

function cornerWords(row: PresentCorner): string {
    const angles = (['camber', 'caster'] as const).flatMap((angle) => {
        const [value, visit] = [row[`${angle}_deg`], row[`${angle}_visit`]];
        if (value === null) return [];
        return [`${angle} ${value.toFixed(2)}${visit === row.visit ? '' : ` (of visit ${visit})`}`];
    });
    return `${cornerName(row.corner)} ${angles.join(', ')}, read ${row.read_on ?? 'on an unknown day'}`;
}

/** Another visit of the day that may have been the later one. */
function undatedWords(row: PresentCorner): string[] {
    if (row.undated_visit === null) return [];
    return [
        `Visit ${row.undated_visit} of ${row.read_on} has no clock time: visit ${row.visit} is taken as the newer one.`,
    ];
}

/** What was changed on the car since its corners were read, a sentence for each that is told otherwise. */
export function changedNotes(corners: readonly PresentCorner[]): string[] {
    const told = corners.filter(({ changed_since }) => changed_since !== null);
    return [...new Set(told.map(({ changed_since }) => changed_since))].map((what) => {
        const names = told.filter((row) => row.changed_since === what).map((row) => cornerName(row.corner));
        return `The newest reading of ${names.join(' and ')} is from before a change: ${what}. Read it again before the bearing is set.`;
    });
}

/** Which readings an answer starts from, and why they may be the wrong ones. */
export async function startNotes(
    db: Database,
    vehicle: string,
    corners: readonly PresentCorner[],
): Promise<string[]> {
    const start = `Starts from the newest readings: ${corners.map(cornerWords).join('; ')}.`;
    return [...(await carDoubts(db, vehicle)), [start, ...new Set(corners.flatMap(undatedWords))].join(' ')];
}
