import { z } from 'zod';
import { type ClockingRow, clockingRow } from '../contracts/results/clocking.js';
import type { Database } from '../db/database.js';
import { noKitToCompare } from '../errors/askMessages.js';
import { UserError } from '../errors/errors.js';
import { normal } from '../stats/settingFunctions.js';
import { clockedWays } from '../stats/settings/clockedWays.js';
import type { Corners } from '../stats/settings/problem.js';
import { type ClockedRow, clockedRow, clockingNotes, comparedNotes, rowNote } from './clockingNotes.js';
import { requireName } from './names.js';
import { changedNotes, presentCar, startNotes } from './presentCar.js';
import { requireKit, requireTarget } from './settingQuestion.js';

export interface ClockingQuestion {
    /** Car from whose newest readings the areas start, or the chassis whose median car is taken. */
    vehicle?: string | undefined;
    chassis?: string | undefined;
    /** Kit whose plates are clocked; without it, all that fit the chassis are compared. */
    kit?: string | undefined;
    /** One or two names. */
    targets: readonly string[];
    /** Steps of the marks, default one half. */
    step?: number | undefined;
    /** Leave out settings with less caster than the original mount. */
    keepCaster?: boolean | undefined;
}

/** What has to be there before it can be asked. */
export const clockingNeeds = ['setting_problems', 'placements', 'plates', 'present_corners', 'car_doubts'];

const problemRow = z.object({ corners: z.string() });

/** The ways to clock the pair of `kit`, best first, in order of rank, target and corner. */
async function waysOf(
    db: Database,
    { vehicle, chassis, targets, step, keepCaster }: ClockingQuestion,
    kit: string,
): Promise<ClockedRow[]> {
    const [row] = await db.rows(
        problemRow,
        `select cast(to_json(corners) as varchar) as corners
        from setting_problems(
            case when $vehicle::varchar is null then []::varchar[] else [$vehicle::varchar] end, $chassis::varchar, null,
            cast($targets::json as varchar[]), $kit::varchar
        )`,
        {
            vehicle: vehicle ?? null,
            chassis: vehicle === undefined ? chassis! : null,
            targets: JSON.stringify(targets),
            kit,
        },
    );
    if (row === undefined) return [];
    const corners = JSON.parse(row.corners) as Corners;
    const search = { step: step ?? 0.5, index: null, hand: null };
    return clockedWays(normal, corners, search, keepCaster ?? false).map((way) => clockedRow.parse(way));
}

const kitRow = z.object({ kit: z.string(), reach_known: z.boolean() });

/** The kits that fit `chassis`; those without ends of scale cannot be asked about. */
async function fittingKits(db: Database, chassis: string) {
    const rows = await db.rows(
        kitRow,
        `select kit, bool_and(mark_min is not null and mark_max is not null) as reach_known
        from plates where chassis = $chassis or chassis is null
        group by kit order by kit`,
        { chassis },
    );
    const of = (known: boolean) => rows.filter((row) => row.reach_known === known).map(({ kit }) => kit);
    if (of(true).length === 0) throw new UserError(noKitToCompare(chassis), 'not_in_data');
    return { kits: of(true), without: of(false) };
}

/** The best way of each kit, best kit first: reach, then probability, then spare travel. */
function comparedKits(byKit: readonly ClockedRow[][]): ClockedRow[] {
    const short = (rows: readonly ClockedRow[]) =>
        rows.reduce(
            (sum, row) =>
                sum +
                (row.allowed ? 0 : 1e6) +
                Math.abs(row.short_camber_deg ?? 0) +
                Math.abs(row.short_caster_deg ?? 0),
            0,
        );
    return byKit
        .map((rows) => rows.filter((row) => row.rank === 1))
        .filter((rows) => rows.length > 0)
        .sort(
            (a, b) =>
                short(a) - short(b) ||
                b[0]!.p_all! - a[0]!.p_all! ||
                Math.min(...b.map((row) => row.spare_mm)) - Math.min(...a.map((row) => row.spare_mm)) ||
                (a[0]!.kit < b[0]!.kit ? -1 : 1),
        )
        .flatMap((rows, i) => rows.map((row) => ({ ...row, rank: i + 1 })));
}

/**
 * Which plate of the mirrored pair goes left and which right, and in which index: one row per way, corner and target, best way
 * first, and what a reader must know as sentences. Without a kit, the best way of every kit that fits. Throws a {@link UserError} like
 * `advise`.
 */
export async function clocking(
    db: Database,
    question: ClockingQuestion,
): Promise<{ rows: ClockingRow[]; notes: string[] }> {
    const { vehicle, kit, targets } = question;
    if (vehicle === undefined) await requireName(db, 'readings', 'chassis', question.chassis!);
    const corners = vehicle === undefined ? [] : await presentCar(db, vehicle);
    const chassis = corners[0]?.chassis ?? question.chassis!;
    if (kit !== undefined) await requireKit(db, kit, chassis, undefined);
    for (const target of targets) await requireTarget(db, target, chassis);
    const asked = { ...question, chassis };
    let rows: ClockedRow[];
    let notes: string[];
    if (kit === undefined) {
        const { kits, without } = await fittingKits(db, chassis);
        const byKit: ClockedRow[][] = [];
        for (const one of kits) byKit.push(await waysOf(db, asked, one));
        rows = comparedKits(byKit);
        notes = comparedNotes(rows, without, vehicle ?? null);
    } else {
        rows = await waysOf(db, asked, kit);
        notes = clockingNotes(rows);
    }
    return {
        rows: rows.map((row) =>
            clockingRow.parse({
                ...row,
                vehicle: row.vehicle === '' ? null : row.vehicle,
                note: rowNote(row),
            }),
        ),
        notes: [
            ...notes,
            ...(vehicle === undefined
                ? []
                : [...changedNotes(corners), ...(await startNotes(db, vehicle, corners))]),
        ],
    };
}
