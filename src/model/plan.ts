import { z } from 'zod';
import { type PlanRow, planRow } from '../contracts/results/plan.js';
import { rangeRow } from '../contracts/results/range.js';
import { slopeRow } from '../contracts/results/slopes.js';
import type { Database } from '../db/database.js';
import { counted, listed } from '../errors/words.js';
import { carsForMean, carsForShare, wilsonHalfWidth } from '../stats/planning.js';
import { median } from '../stats/slopes/median.js';
import { plain } from '../units/plain.js';
import { requireName } from './names.js';

export interface PlanQuestion {
    chassis: string;
    kit?: string | undefined;
    target?: string | undefined;
    /** Half-width of the 95 % interval of a slope that is wanted, deg/mm. */
    slopeWithin: number;
    /** The same of a share, 0..1. */
    shareWithin: number;
}

/** What has to be there before it can be asked. */
export const planNeeds = [
    'slopes',
    'ranged',
    'moves',
    'present_corners',
    'needed_offsets',
    'chassis_targets',
];

const known = slopeRow.pick({
    chassis: true,
    response: true,
    axis: true,
    estimate_deg_per_mm: true,
    std_error_deg_per_mm: true,
    conf_low_deg_per_mm: true,
    conf_high_deg_per_mm: true,
    vehicle_count: true,
});

/** A variance between fewer cars than this says less of a further car than that of the other chassis. */
const FEWEST_CARS = 5;

/** Camber and caster, each along the axis that moves it. */
async function slopeRows(db: Database, { chassis, slopeWithin }: PlanQuestion): Promise<PlanRow[]> {
    const rows = await db.rows(
        known,
        `select ${Object.keys(known.shape).join(', ')} from slopes
        where (response = 'camber_deg' and axis = 'out') or (response = 'caster_deg' and axis = 'aft')
        order by response, chassis`,
    );
    return (['camber_deg', 'caster_deg'] as const).map((response) => {
        const own = rows.find((row) => row.chassis === chassis && row.response === response);
        const perCar = ({ std_error_deg_per_mm, vehicle_count }: z.infer<typeof known>) =>
            std_error_deg_per_mm === null
                ? []
                : [std_error_deg_per_mm * std_error_deg_per_mm * vehicle_count];
        const ofOwn = own === undefined || own.vehicle_count < FEWEST_CARS ? [] : perCar(own);
        const field = rows.filter((row) => row.response === response && row.chassis !== chassis);
        const told = field.filter(({ vehicle_count }) => vehicle_count >= FEWEST_CARS).flatMap(perCar);
        const variance = ofOwn[0] ?? median(Float64Array.from(told));
        const needed = variance === null ? null : carsForMean(variance, slopeWithin);
        const vehicle_count = own?.vehicle_count ?? 0;
        const [low, high] = [own?.conf_low_deg_per_mm ?? null, own?.conf_high_deg_per_mm ?? null];
        return planRow.parse({
            what: 'slope',
            chassis,
            response,
            axis: response === 'camber_deg' ? 'out' : 'aft',
            kit: null,
            target: null,
            estimate: own?.estimate_deg_per_mm ?? null,
            half_width: low === null || high === null ? null : (high - low) / 2,
            wanted_half_width: slopeWithin,
            vehicle_count,
            vehicles_needed: needed,
            more_needed: needed === null ? null : Math.max(0, needed - vehicle_count),
            basis: variance === null ? null : ofOwn.length > 0 ? 'own' : 'field',
            reason: variance === null ? `no chassis has a slope from ${FEWEST_CARS} cars or more yet` : null,
        });
    });
}

const reached = rangeRow.pick({
    kit: true,
    target: true,
    share_reachable: true,
    effective_count: true,
    vehicle_count: true,
});

async function shareRows(
    db: Database,
    { chassis, kit, target, shareWithin }: PlanQuestion,
): Promise<PlanRow[]> {
    const rows = await db.rows(
        reached,
        `select ${Object.keys(reached.shape).join(', ')} from ranged($chassis::varchar, $kit::varchar, $target::varchar)
        where plate_index is null and kit is not null order by target, kit`,
        { chassis, kit: kit ?? null, target: target ?? null },
    );
    return rows.map((row) => {
        const { share_reachable: share, effective_count: effective, vehicle_count } = row;
        const told = share !== null && effective !== null && vehicle_count > 0;
        const needed = told ? carsForShare(share, effective / vehicle_count, shareWithin) : null;
        return planRow.parse({
            what: 'share',
            chassis,
            response: null,
            axis: null,
            kit: row.kit,
            target: row.target,
            estimate: share,
            half_width: told ? wilsonHalfWidth(share, effective) : null,
            wanted_half_width: shareWithin,
            vehicle_count,
            vehicles_needed: needed,
            more_needed: needed === null ? null : Math.max(0, needed - vehicle_count),
            basis: told ? 'own' : null,
            reason: told ? null : 'no corner has a known offset and every angle of the target yet',
        });
    });
}

const lacking = z.object({ axis: z.enum(['out', 'aft']), vehicles: z.array(z.string()) });

/** Cars at hand whose bearing was never read before and after a move along the axis. */
async function unmoved(db: Database, chassis: string): Promise<z.infer<typeof lacking>[]> {
    return db.rows(
        lacking,
        `with cars as (select distinct vehicle from present_corners where chassis = $chassis)
        select axis, list(vehicle order by vehicle) as vehicles
        from cars
        cross join (select unnest(['out', 'aft']) as axis)
        where not exists (
            select 1 from moves
            where moves.vehicle = cars.vehicle
                and abs(case axis when 'out' then move_out_mm else move_aft_mm end) > 1
        )
        group by axis`,
        { chassis },
    );
}

/** Cars that no need can be told of: no state with a known offset and every angle that the target names. */
async function untold(db: Database, { chassis, target }: PlanQuestion): Promise<string[]> {
    const rows = await db.rows(
        z.object({ vehicle: z.string() }),
        `select distinct present_corners.vehicle
        from present_corners
        inner join chassis_targets using (chassis)
        left join needed_offsets using (vehicle, corner, target)
        where chassis = $chassis and ($target::varchar is null or target = $target) and needed_offsets.vehicle is null
            and coalesce(goal_camber_deg, goal_caster_deg) is not null
        order by 1`,
        { chassis, target: target ?? null },
    );
    return rows.map(({ vehicle }) => vehicle);
}

function neededWords(row: PlanRow): string {
    const { vehicles_needed: needed, more_needed: more } = row;
    if (needed === null) return row.reason ?? 'more cars than can be planned for';
    return more === 0
        ? `enough with ${counted(row.vehicle_count, 'car')}`
        : `${counted(needed, 'car')} in all, ${more} more than now`;
}

function slopeWords(row: PlanRow): string {
    const angle = row.response!.replace('_deg', '');
    const way = row.axis === 'out' ? 'outboard' : 'rearward';
    const from = row.basis === 'field' ? ', as other chassis vary' : '';
    return `${angle} per mm ${way} to +-${plain(row.wanted_half_width, 4)} deg/mm: ${neededWords(row)}${from}`;
}

function shareWords(row: PlanRow): string {
    return `share that ${row.kit} reaches for ${row.target} to +-${plain(100 * row.wanted_half_width, 1)} points: ${neededWords(row)}`;
}

/** What to read next: the slope that lacks most first, then the cars that tell no need. */
async function nextNotes(
    db: Database,
    slopes: readonly PlanRow[],
    question: PlanQuestion,
): Promise<string[]> {
    const lack = await unmoved(db, question.chassis);
    const lacks = (row: PlanRow) => row.more_needed ?? Number.MAX_VALUE;
    const [most] = [...slopes].sort((a, b) => lacks(b) - lacks(a));
    const cars = lack.find(({ axis }) => axis === most!.axis)?.vehicles ?? [];
    const way = most!.axis === 'out' ? 'outboard or inboard' : 'forward or rearward';
    const gaps = await untold(db, question);
    const isTold = slopes.every(({ more_needed }) => more_needed === 0);
    const slope = isTold
        ? 'Helps most next: another car, read at a known setting; the slopes are told well enough.'
        : cars.length === 0
          ? `Every car at hand has been read across a move ${way}: further moves of these cars add less than another car.`
          : `Helps most next: move a bearing ${way} and read it before and after, with the tie rods untouched, on ${cars.length === 1 ? 'the car at hand that lacks it' : `one of ${cars.length} cars at hand that lack it`}: ${listed(cars.slice(0, 6))}.`;
    return [
        slope,
        ...(gaps.length === 0
            ? []
            : [
                  `Then read every angle of the target at a known setting on ${counted(gaps.length, 'car')} that tell no need yet: ${listed(gaps.slice(0, 6))}.`,
              ]),
    ];
}

/**
 * How many cars give the slopes of a chassis, and the share that a kit reaches, to the width asked for: variances of the field, one
 * cluster a car, each further car taken as like those at hand; and which reading of the cars at hand helps most next. Throws a
 * {@link UserError} on an unknown name.
 */
export async function plan(
    db: Database,
    question: PlanQuestion,
): Promise<{ rows: PlanRow[]; notes: string[] }> {
    await requireName(db, 'readings', 'chassis', question.chassis);
    if (question.kit !== undefined) await requireName(db, 'kits', 'kit', question.kit);
    if (question.target !== undefined) await requireName(db, 'targets', 'target', question.target);
    const slopes = await slopeRows(db, question);
    const shares = await shareRows(db, question);
    const worst = [...shares].sort((a, b) => (b.vehicles_needed ?? 0) - (a.vehicles_needed ?? 0)).slice(0, 1);
    return {
        rows: [...slopes, ...shares],
        notes: [
            `${question.chassis}, with 95 % certainty: ${[...slopes.map(slopeWords), ...worst.map(shareWords)].join('; ')}.`,
            ...(await nextNotes(db, slopes, question)),
            'Each further car is taken as like those at hand, with as many moves and readings; what slopes and gauges add to all cars alike does not shrink with cars.',
        ],
    };
}
