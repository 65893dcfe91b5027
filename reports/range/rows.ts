import { z } from 'zod';
import { rangeRow } from '../../src/contracts/results/range.js';
import { chassisCode, count, estimate, probability } from '../../src/contracts/results/result.js';

const rank = z.int().min(1);
const group = { group_rank: rank, chassis: chassisCode, target: z.string() };
const basis = z.enum(['own', 'others', 'geometry', 'flagged']);

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    ranges: rangeRow.extend({ group_rank: rank, group_count: count, kit_rank: rank.nullable() }),
    fields: z.object({
        ...group,
        camber_out_deg_per_mm: z.number(),
        camber_aft_deg_per_mm: z.number(),
        camber_tol_deg: estimate,
        caster_out_deg_per_mm: z.number(),
        caster_aft_deg_per_mm: z.number(),
        caster_tol_deg: estimate,
        camber_basis: basis,
        caster_basis: basis,
    }),
    points: z.object({
        ...group,
        vehicle: z.string(),
        car: rank,
        corner: z.enum(['FL', 'FR']),
        out_mm: z.number(),
        aft_mm: z.number(),
        censored: z.boolean(),
        corner_count: count,
    }),
    plates: z.object({
        kit_rank: rank,
        kit: z.string(),
        chassis: chassisCode.nullable(),
        index_count: z.int().min(1),
        index_step_deg: z.number(),
        axis_deg: z.number(),
        pitch_mm: z.number(),
        middle_out_mm: z.number(),
        middle_aft_mm: z.number(),
        half_length_mm: z.number(),
        side_mm: z.number(),
    }),
    coverage: z.object({
        ...group,
        kit_rank: rank,
        kit: z.string(),
        drawn_as: z.enum(['kit 1', 'kit 2', 'kit 3']),
        length_mm: z.number(),
        share: probability,
        low: probability,
        high: probability,
        present_share: probability,
    }),
    designs: z.object({
        ...group,
        kit: z.string(),
        variant: z.enum(['middle out', 'middle aft', 'angle']),
        change: z.number(),
        share: probability,
        low: probability,
        high: probability,
    }),
    ends: z.object({
        kit_rank: rank,
        kit: z.string(),
        plate_index: z.int().min(1),
        from_share: z.number(),
        to_share: z.number(),
        corner_count: count,
        index_corner_count: count,
        low_end_count: count,
        high_end_count: count,
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Range = Rows['ranges'][number];

/** Rows over the best index, in the order of the page. */
export function bestRows({ ranges }: Rows): Range[] {
    return ranges.filter((row) => row.plate_index === null);
}

/** One row per chassis and target, for what does not depend on the kit. */
export function groupRows(rows: Rows): Range[] {
    return bestRows(rows).filter((row, place, all) => all[place - 1]?.group_rank !== row.group_rank);
}

/** Chassis and targets with pictures of their own. */
export function drawnGroups(rows: Rows): Range[] {
    const ranks = new Set(rows.coverage.map((row) => row.group_rank));
    return groupRows(rows).filter((row) => ranks.has(row.group_rank));
}
