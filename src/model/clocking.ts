import { type ClockingRow, clockingRow } from '../contracts/results/clocking.js';
import type { Database } from '../db/database.js';
import { type ClockedRow, clockedRow, clockingNotes, rowNote } from './clockingNotes.js';
import { requireName } from './names.js';
import { presentCar, startNotes } from './presentCar.js';
import { requireKit, requireTarget } from './settingQuestion.js';

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

/** What has to be there before it can be asked. */
export const clockingNeeds = ['clocked', 'placements', 'plates', 'present_corners', 'car_doubts'];

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
    const corners = vehicle === undefined ? [] : await presentCar(db, vehicle);
    const chassis = corners[0]?.chassis ?? question.chassis!;
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
        notes: [
            ...clockingNotes(rows),
            ...(vehicle === undefined ? [] : await startNotes(db, vehicle, corners)),
        ],
    };
}
