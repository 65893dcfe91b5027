import { z } from 'zod';
import { type HistoryRow, historyRow } from '../contracts/results/history.js';
import { fronts, hands } from '../contracts/results/result.js';
import type { Database } from '../db/database.js';
import { nothingLeft } from '../errors/askMessages.js';
import { UserError } from '../errors/errors.js';
import { programName } from '../errors/programName.js';
import { counted, shellWord } from '../errors/words.js';
import { HALF_WIDTH } from '../stats/settings/problem.js';
import { requireName } from './names.js';
import { place } from './settingQuestion.js';

/** What has to be there before it can be asked. */
export const historyNeeds = ['left_settings'];

const leftRow = z.object({
    vehicle: z.string(),
    chassis: z.string(),
    visit: z.string(),
    visit_kind: z.enum(['install', 'adjust']),
    visit_order: z.int(),
    left_on: z.string().nullable(),
    corner: z.enum(fronts),
    kit: z.string().nullable(),
    plate_hand: z.enum(hands).nullable(),
    plate_index: z.int().nullable(),
    mark_1: z.number().nullable(),
    mark_2: z.number().nullable(),
    offset_out_mm: z.number().nullable(),
    offset_aft_mm: z.number().nullable(),
    gauge: z.string().nullable(),
    technician: z.string().nullable(),
    target: z.string().nullable(),
    hit: z.boolean().nullable(),
    verdict: z.enum(['inside', 'outside', 'undecided']).nullable(),
    camber_deg: z.number().nullable(),
    camber_u_deg: z.number().nullable(),
    camber_apart_u_deg: z.number().nullable(),
    caster_deg: z.number().nullable(),
    caster_u_deg: z.number().nullable(),
    caster_apart_u_deg: z.number().nullable(),
    toe_deg: z.number().nullable(),
    toe_u_deg: z.number().nullable(),
    toe_apart_u_deg: z.number().nullable(),
    stands_now: z.boolean(),
    ...place,
});

/** A setting that a front corner was left at. */
export type LeftRow = z.infer<typeof leftRow>;

/** The settings that `vehicle` was left at, newest first, left before right; a UserError where there is none. */
export async function leftSettings(db: Database, vehicle: string): Promise<LeftRow[]> {
    await requireName(db, 'readings', 'vehicle', vehicle);
    const rows = await db.rows(
        leftRow,
        `select ${Object.keys(leftRow.shape).join(', ')} from left_settings($vehicle::varchar) order by visit_order, corner`,
        { vehicle },
    );
    if (rows.length === 0) throw new UserError(nothingLeft(vehicle), 'not_in_data');
    return rows;
}

function interval(row: LeftRow, angle: 'camber' | 'caster' | 'toe') {
    const [value, u] = [row[`${angle}_deg`], row[`${angle}_u_deg`]];
    const half = value === null || u === null ? null : HALF_WIDTH * u;
    return {
        [`${angle}_deg`]: value,
        [`${angle}_low_deg`]: half === null ? null : value! - half,
        [`${angle}_high_deg`]: half === null ? null : value! + half,
    };
}

function published(row: LeftRow): HistoryRow {
    return historyRow.parse({
        ...Object.fromEntries(
            Object.keys(historyRow.shape).map((name) => [name, row[name as keyof LeftRow]]),
        ),
        ...interval(row, 'camber'),
        ...interval(row, 'caster'),
        ...interval(row, 'toe'),
        met_as_read: row.hit,
        met: row.verdict,
    });
}

/** The settings that a car can go back to: one row per visit that left one and front corner, newest first, with sentences. */
export async function history(
    db: Database,
    { vehicle }: { vehicle: string },
): Promise<{ rows: HistoryRow[]; notes: string[] }> {
    const lefts = await leftSettings(db, vehicle);
    const visits = [...new Set(lefts.map((row) => row.visit))];
    const [newest] = visits;
    const earlier = lefts.find((row) => row.visit !== newest && row.kit !== null);
    const again = (earlier ?? lefts[0]!).visit;
    const notes = [
        `${vehicle} was left at a setting in ${counted(visits.length, 'visit')} with an install or an adjustment; the newest is ${newest} (${lefts[0]!.left_on ?? 'on an unknown day'}). To go back to one: ${programName()} advise --vehicle ${shellWord(vehicle)} --back-to ${shellWord(again)}`,
        'Angles are those that were read, less what gauge and person are known to add, with the 95 % interval of the true angle. "Met" is yes or no only where the guard band of audit leaves no doubt.',
    ];
    if (lefts.every((row) => row.target === null)) {
        notes.push(
            'No visit names a target (column target of an after), so nothing tells which setting met one.',
        );
    }
    if (lefts.some((row) => row.kit === null)) {
        notes.push('A row without a kit is the original mount, which has no marks to go back to.');
    }
    return { rows: lefts.map(published), notes };
}
