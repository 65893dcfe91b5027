import { z } from 'zod';
import { gaugeRow } from '../../src/contracts/results/gauges.js';
import { count, estimate } from '../../src/contracts/results/result.js';

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    gauges: gaugeRow
        .pick({
            kind: true,
            name: true,
            response: true,
            reading_count: true,
            repeatability_deg: true,
            repeatability_low_deg: true,
            repeatability_high_deg: true,
            source: true,
            bias_deg: true,
            bias_std_error_deg: true,
            bias_missing: true,
            set_up_deg: true,
            walk_deg_per_week: true,
            walk_std_error_deg_per_week: true,
            walk_weeks: true,
            walks: true,
            p_walks: true,
        })
        .extend({
            bias_low_deg: estimate,
            bias_high_deg: estimate,
            tolerance_deg: estimate,
            tolerance_low_deg: estimate,
            share_of_tolerance: estimate,
            guarded_tolerance_deg: estimate,
            centre_deg: z.number(),
            band_low_deg: estimate,
            band_high_deg: estimate,
            frame_deg: z.number(),
        }),
    months: z.object({
        response: z.string(),
        gauge: z.string(),
        month: z.string(),
        state_count: count,
        mean_deg: z.number(),
        low_deg: estimate,
        high_deg: estimate,
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Gauge = Rows['gauges'][number];

export const angleOf = ({ response }: { response: string }): string =>
    response === 'sai_deg' ? 'SAI' : response.replace('_deg', '');

/** Angles of the page, in order. */
export function responsesOf(rows: Rows): Gauge['response'][] {
    return [...new Set(rows.gauges.map((row) => row.response))];
}
