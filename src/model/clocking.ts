import { z } from 'zod';
import { type ClockingRow, clockingRow } from '../contracts/results/clocking.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noAngles, noFrontReading, placementUnknown } from '../errors/messages.js';
import { type ClockedRow, clockedRow, clockingNotes, rowNote } from './clockingNotes.js';
import { place, placeOf, requireKit, requireName, requireTarget } from './settingQuestion.js';

export interface ClockingQuestion {
    /** Car from whose newest readings the areas start, or the chassis whose median car is taken. */
    vehicle?: string | undefined;
    chassis?: string | undefined;
    kit: string;
    /** One or two names. */
    targets: readonly string[];
    /** Steps of the marks, default one half. */
    step?: number | undefined;
    /** Leave out settings with less caster than the original mount. */
    keepCaster?: boolean | undefined;
}

const presentRow = z.object({
    corner: z.string(),
    chassis: z.string(),
    offset_missing: z.string().nullable(),
    has_angle: z.boolean(),
    ...place,
});

/** Checks that the corners of `vehicle` are known well enough; returns its chassis. */
async function carChassis(db: Database, vehicle: string): Promise<string> {
    await requireName(db, 'readings', 'vehicle', vehicle);
    const corners = await db.rows(
        presentRow,
        `select corner, chassis, offset_missing, coalesce(camber_deg, caster_deg) is not null as has_angle, source_file, source_line
        from present_corners where vehicle = $vehicle order by corner`,
        { vehicle },
    );
    if (corners.length === 0) throw new UserError(noFrontReading(vehicle));
    for (const row of corners) {
        if (row.offset_missing !== null) {
            throw new UserError(placementUnknown(row.corner, row.offset_missing, placeOf(row)));
        }
        if (!row.has_angle) throw new UserError(noAngles(row.corner, placeOf(row)));
    }
    return corners[0]!.chassis;
}

/**
 * Which plate of the mirrored pair goes left and which right, and in which index: one row per way, corner and target, best way
 * first, and what a reader must know as sentences. Throws a {@link UserError} like `advise`.
 */
export async function clocking(
    db: Database,
    question: ClockingQuestion,
): Promise<{ rows: ClockingRow[]; notes: string[] }> {
    const { vehicle, kit, targets } = question;
    if (vehicle === undefined) await requireName(db, 'readings', 'chassis', question.chassis!);
    const chassis = vehicle === undefined ? question.chassis! : await carChassis(db, vehicle);
    await requireKit(db, kit, chassis, undefined);
    for (const target of targets) await requireTarget(db, target, chassis);
    const rows: ClockedRow[] = await db.rows(
        clockedRow,
        `select ${Object.keys(clockedRow.shape).join(', ')}
        from clocked(
            case when $vehicle::varchar is null then []::varchar[] else [$vehicle::varchar] end, $chassis::varchar, null,
            cast($targets::json as varchar[]), $kit::varchar, null::integer, null::varchar, $step::double, $keep_caster::boolean
        )
        order by rank, target_order, corner`,
        {
            vehicle: vehicle ?? null,
            chassis: vehicle === undefined ? chassis : null,
            targets: JSON.stringify(targets),
            kit,
            step: question.step ?? 0.5,
            keep_caster: question.keepCaster ?? false,
        },
    );
    return {
        rows: rows.map((row) =>
            clockingRow.parse({
                ...row,
                vehicle: row.vehicle === '' ? null : row.vehicle,
                note: rowNote(row),
            }),
        ),
        notes: clockingNotes(rows),
    };
}
