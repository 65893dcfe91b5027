import { z } from 'zod';
import { axes, chassisCode, count, estimate, responses } from '../../src/contracts/results/result.js';
import { slopeRow } from '../../src/contracts/results/slopes.js';

const panel = {
    chassis: chassisCode,
    response: z.enum(responses),
    axis: z.enum(axes),
};
const rank = z.int().min(1);

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    totals: z.object({
        chassis_count: count,
        moved_chassis_count: count,
        vehicle_count: count,
        move_count: count,
        change_count: count,
        downweighted_count: count,
    }),
    slopes: slopeRow
        .omit({
            std_error_deg_per_mm: true,
            downweighted_count: true,
            reliability_corrected: true,
            mid_mm: true,
        })
        .extend({ chassis_rank: rank, chassis_count: count }),
    moves: z.object({
        ...panel,
        chassis_rank: rank,
        vehicle: z.string(),
        corner: z.enum(['FL', 'FR']),
        visit: z.string(),
        from_phase: z.string(),
        to_phase: z.string(),
        move_mm: z.number(),
        partial_deg: z.number(),
        shown_mm: z.number(),
        shown_deg: z.number(),
        robust_weight: z.number(),
        drawn_as: z.enum(['full weight', 'down-weighted', 'beyond the picture']),
        panel_move_count: count,
        frame_x_low_mm: z.number(),
        frame_x_high_mm: z.number(),
        frame_y_low_deg: z.number(),
        frame_y_high_deg: z.number(),
    }),
    lines: z.object({
        ...panel,
        move_mm: z.number(),
        line_deg: estimate,
        low_deg: estimate,
        high_deg: estimate,
        shrunk_deg: estimate,
    }),
    forest: z.object({
        ...panel,
        chassis_rank: rank,
        kind: z.enum(['own', 'shrunken']),
        slope_deg_per_mm: estimate,
        low_deg_per_mm: estimate,
        high_deg_per_mm: estimate,
        slope_shown: estimate,
        low_shown: estimate,
        high_shown: estimate,
        beyond_low: estimate,
        beyond_high: estimate,
        move_count: count,
        vehicle_count: count,
        prior_low_deg_per_mm: z.number(),
        prior_high_deg_per_mm: z.number(),
        frame_low_deg_per_mm: z.number(),
        frame_high_deg_per_mm: z.number(),
        words: z.string().nullable(),
    }),
    lengths: z.object({
        ...panel,
        chassis_rank: rank,
        effective_length_mm: estimate,
        low_mm: estimate,
        high_mm: estimate,
        length_shown: estimate,
        low_shown: estimate,
        high_shown: estimate,
        beyond_low: estimate,
        beyond_high: estimate,
        plausible_low_mm: z.number(),
        plausible_high_mm: z.number(),
        flag: z.string().nullable(),
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Slope = Rows['slopes'][number];
export type PanelKey = Pick<Slope, 'response' | 'axis'>;

export function samePanel(key: PanelKey) {
    return (row: PanelKey) => row.response === key.response && row.axis === key.axis;
}

/** Chassis in order of rank. */
export function chassisOf(rows: readonly { chassis: string; chassis_rank: number }[]): string[] {
    return [...new Set([...rows].sort((a, b) => a.chassis_rank - b.chassis_rank).map((row) => row.chassis))];
}

/** The slopes that the pictures and sentences are about; the table has all. */
export const panels: readonly PanelKey[] = [
    { response: 'camber_deg', axis: 'out' },
    { response: 'caster_deg', axis: 'aft' },
    { response: 'toe_deg', axis: 'out' },
];
