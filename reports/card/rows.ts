import { z } from 'zod';
import { adviseRow } from '../../src/contracts/results/advise.js';
import { count, estimate } from '../../src/contracts/results/result.js';

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    settings: adviseRow.omit({ words: true, class: true, p_camber_over: true, p_caster_over: true }).extend({
        vehicle: z.string(),
        present_mark_1: estimate,
        present_mark_2: estimate,
        present_camber_deg: estimate,
        present_caster_deg: estimate,
        present_toe_deg: estimate,
        target_camber_deg: estimate,
        camber_tol_deg: estimate,
        target_caster_deg: estimate,
        caster_tol_deg: estimate,
        target_toe_deg: estimate,
        toe_tol_deg: estimate,
        frame_low_camber_deg: estimate,
        frame_high_camber_deg: estimate,
        frame_low_caster_deg: estimate,
        frame_high_caster_deg: estimate,
        box_low_camber_deg: estimate,
        box_high_camber_deg: estimate,
        box_low_caster_deg: estimate,
        box_high_caster_deg: estimate,
        cross_camber_max_deg: estimate,
        cross_caster_max_deg: estimate,
        read_on: z.string().nullable(),
        bolt_count: z.int().min(1),
        car_count: count,
    }),
    slots: z.object({
        vehicle: z.string(),
        corner: z.enum(['FL', 'FR']),
        part: z.enum(['scale', 'second scale', 'corner']),
        mark_1: z.number(),
        mark_2: estimate,
        out_mm: z.number(),
        aft_mm: z.number(),
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Setting = Rows['settings'][number];
export type SlotPoint = Rows['slots'][number];

/** Cars in the order of the rows. */
export function carsOf(rows: Rows): string[] {
    return [...new Set(rows.settings.map((row) => row.vehicle))];
}

/** Targets in the order of the rows. */
export function targetsOf(rows: readonly Setting[]): string[] {
    return [...new Set(rows.map((row) => row.target))];
}
