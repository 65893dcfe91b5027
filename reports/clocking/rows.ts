import { z } from 'zod';
import { clockingRow } from '../../src/contracts/results/clocking.js';
import { basis, estimate, fronts, hands } from '../../src/contracts/results/result.js';

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    ways: clockingRow.omit({ note: true }).extend({
        vehicle: z.string(),
        camber_sd_deg: estimate,
        caster_sd_deg: estimate,
        target_camber_deg: estimate,
        camber_tol_deg: estimate,
        target_caster_deg: estimate,
        caster_tol_deg: estimate,
        offset_out_mm: z.number(),
        offset_aft_mm: z.number(),
        present_camber_deg: estimate,
        present_caster_deg: estimate,
        frame_low_camber_deg: estimate,
        frame_high_camber_deg: estimate,
        frame_low_caster_deg: estimate,
        frame_high_caster_deg: estimate,
        box_low_camber_deg: estimate,
        box_high_camber_deg: estimate,
        box_low_caster_deg: estimate,
        box_high_caster_deg: estimate,
        camber_basis: basis,
        caster_basis: basis,
    }),
    areas: z.object({
        corner: z.enum(fronts),
        plate_hand: z.enum(hands),
        plate_index: z.int().min(1),
        clocking: z.string(),
        label: z.string(),
        path_order: z.number(),
        is_end: z.boolean(),
        mark_1: z.number(),
        mark_2: estimate,
        out_mm: z.number(),
        aft_mm: z.number(),
        camber_deg: estimate,
        caster_deg: estimate,
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Way = Rows['ways'][number];
export type AreaPoint = Rows['areas'][number];

/** Rows of the best way. */
export function bestWay({ ways }: Rows): Way[] {
    return ways.filter((row) => row.rank === 1);
}

/** Fronts that the page knows. */
export function cornersOf({ ways }: Rows): ('FL' | 'FR')[] {
    return fronts.filter((corner) => ways.some((row) => row.corner === corner));
}

/** The car or chassis of the page, in words. */
export function subjectWords({ ways }: Rows): string {
    const { vehicle, chassis } = ways[0]!;
    return vehicle === '' ? `the median car of ${chassis}` : vehicle;
}
