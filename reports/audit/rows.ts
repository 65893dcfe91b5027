import { z } from 'zod';
import { auditResponses, auditRow } from '../../src/contracts/results/audit.js';
import { count, probability } from '../../src/contracts/results/result.js';

const angle = z.enum(['camber_deg', 'caster_deg', 'toe_deg']);

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    totals: z.object({
        visit_count: count,
        vehicle_count: count,
        setting_count: count,
        not_judged_count: count,
        toe_not_set_count: count,
        toe_looks_unset_count: count,
        first_day: z.string().nullable(),
        last_day: z.string().nullable(),
    }),
    groups: auditRow.extend({ label: z.string() }),
    causes: z.object({ response: angle, cause: z.string(), setting_count: count }),
    errors: z.object({
        response: angle,
        kind: z.enum(['set', 'end of the scale']),
        tolerances: z.string(),
        shown_from: z.number(),
        shown_to: z.number(),
        setting_count: count,
    }),
    cars: z.object({
        place: z.int().min(1),
        car_count: count,
        vehicle: z.string(),
        chassis: z.string(),
        visit: z.string(),
        day: z.string().nullable(),
        target: z.string(),
        corner: z.enum(['FL', 'FR', 'FL-FR']),
        response: z.enum(auditResponses),
        error_deg: z.number(),
        tol_deg: z.number(),
        p_inside: probability,
        verdict: z.enum(['inside', 'outside', 'undecided']),
        what: z.string(),
        other_count: count,
    }),
    months: z.object({
        month: z.string(),
        miss_count: count,
        count,
        miss_share: probability,
        chart_centre: probability,
        chart_low: probability,
        chart_high: probability,
        state: z.enum(['within the limits', 'beyond the limits']),
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Group = Rows['groups'][number];

/** The row over all settings for `response`; none where it was never judged. */
export function whole(rows: Rows, response: Group['response']): Group | undefined {
    return rows.groups.find((row) => row.split_by === 'overall' && row.response === response);
}
