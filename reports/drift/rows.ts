import { z } from 'zod';
import { driftRow, unrecordedRow, type verdicts } from '../../src/contracts/results/drift.js';
import { count, estimate } from '../../src/contracts/results/result.js';

const place = z.int().min(1);
const corner = z.enum(['FL', 'FR']);
export const drawnVerdicts = ['reading', 'held', 'plate moved', 'bent', 'other', 'unclear'] as const;
const drawnAs = z.enum(drawnVerdicts);

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    totals: z.object({
        vehicle_count: count,
        session_count: count,
        corner_count: count,
        held_count: count,
        plate_moved_count: count,
        bent_count: count,
        other_count: count,
        unclear_count: count,
        untold_count: count,
        expected_wrong: z.number(),
        false_discovery_rate: estimate,
        min_moved: estimate,
        min_class: estimate,
        prior_slip_share: estimate,
        slip_share: estimate,
    }),
    events: driftRow.omit({ words: true, reading_that_would_tell: true, is_open: true }).extend({
        has_caster: z.boolean(),
        has_toe: z.boolean(),
        has_sai: z.boolean(),
        has_rears: z.boolean(),
        has_other_front: z.boolean(),
        day: z.string().nullable(),
        vehicle_rank: place,
        session_number: place,
        side: z.string(),
        p_moved: z.number(),
        camber_compared_deg: estimate,
        drawn_as: drawnAs,
    }),
    unrecorded: unrecordedRow.omit({ words: true, is_open: true }).extend({ day: z.string().nullable() }),
    cars: z.object({
        vehicle: z.string(),
        chassis: z.string(),
        session_count: count,
        held_count: count,
        plate_moved_count: count,
        bent_count: count,
        other_count: count,
        unclear_count: count,
        last_day: z.string().nullable(),
        last_bent_day: z.string().nullable(),
    }),
    tracks: z.object({
        vehicle: z.string(),
        vehicle_rank: place,
        corner,
        response: z.enum(['camber_deg', 'caster_deg']),
        reading_count: count,
        visit: z.string(),
        visit_kind: z.string(),
        phase: z.string(),
        day: z.string(),
        place,
        is_set: z.boolean(),
        level_deg: z.number(),
        read_deg: z.number(),
        toe_deg: estimate,
        offset_out_mm: z.number(),
        offset_aft_mm: z.number(),
        centre_deg: estimate,
        low_deg: estimate,
        high_deg: estimate,
        ewma_deg: estimate,
        ewma_low_deg: estimate,
        ewma_high_deg: estimate,
        sd_source: z.enum(['history', 'readings']),
        signal: z.enum(['point', 'ewma', 'cusum']).nullable(),
        drawn_as: drawnAs,
    }),
    directions: z.object({
        vehicle: z.string(),
        corner,
        scale: z.int(),
        slip_mm: z.number(),
        camber_deg: z.number(),
        caster_deg: z.number(),
    }),
    trends: z.object({
        vehicle: z.string(),
        corner,
        kit: z.string().nullable(),
        response: z.enum(['camber_deg', 'caster_deg']),
        point_count: count,
        session_count: count,
        creep_deg_per_session: z.number(),
        creep_low_deg: estimate,
        creep_high_deg: estimate,
        step_deg: z.number(),
        step_visit: z.string().nullable(),
        pattern: z.enum(['held', 'creep', 'step', 'unclear']),
    }),
    rates: z.object({
        factor: z.string(),
        level: z.string(),
        name: z.string(),
        corner_session_count: count,
        slip_count: count,
        unclear_count: count,
        expected_slip_count: z.number(),
        per_session: z.number(),
        per_session_low: z.number(),
        per_session_high: z.number(),
        corner_km: estimate,
        per_100_km: estimate,
        per_100_km_low: estimate,
        per_100_km_high: estimate,
    }),
    contrasts: z.object({
        factor: z.string(),
        name: z.string(),
        other_name: z.string(),
        rate_ratio: estimate,
        ratio_low: estimate,
        ratio_high: estimate,
        p_value: estimate,
        p_adjusted_fdr: estimate,
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Event = Rows['events'][number];
export type Track = Rows['tracks'][number];
export type Verdict = (typeof verdicts)[number];

/** Cars in the order of the page, those with most that moved first. */
export function vehiclesOf(events: readonly Event[]): string[] {
    const ranks = new Map(events.map((row) => [row.vehicle, row.vehicle_rank]));
    return [...ranks].sort((a, b) => a[1] - b[1]).map(([vehicle]) => vehicle);
}

/** What the choice of events on the page is called per verdict. */
export const eventNames: Readonly<Record<Verdict, string>> = {
    held: 'held',
    plate_moved: 'plate moved',
    bent: 'bent',
    other: 'other',
    unclear: 'unclear',
};
