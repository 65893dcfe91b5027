import { z } from 'zod';
import { count, estimate, responses, result, textOrNull } from './result.js';

const tolerance = z.object({
    target: z.string(),
    chassis: textOrNull.describe('null = any'),
    tolerance_deg: z.number().describe('to each side'),
    share_of_tolerance: z
        .number()
        .describe('6 GRR over the whole band; GRR: this gauge, by any of the people'),
    u_deg: z
        .number()
        .describe('standard uncertainty of the true angle by one reading: repeat, set-up and bias'),
    guarded_tolerance_deg: z
        .number()
        .describe(
            'what a guard band of 1.65 of it leaves of the tolerance, to each side; 0 = this gauge cannot judge it by one reading',
        ),
    distinct_categories: z.int().min(1).describe('groups of cars that can be told apart within the band'),
});

const compared = z.object({
    other_gauge: z.string(),
    difference_deg: z.number().describe('this gauge less the other one, as read'),
    std_error_deg: z.number(),
    setting_count: count.describe('settings that both read'),
});

export const gaugeRow = z.object({
    kind: z
        .enum(['gauge', 'technician', 'pair'])
        .describe(
            'pair: gauge with person, where each person used one gauge only, so that nobody can tell them apart',
        ),
    name: z.string(),
    response: z.enum(responses),
    reading_count: count,
    repeatability_deg: estimate,
    bias_deg: estimate,
    bias_std_error_deg: estimate,
    repeatability_low_deg: estimate,
    repeatability_high_deg: estimate,
    df: estimate,
    source: z
        .enum(['repeats', 'sessions', 'typical', 'prior'])
        .nullable()
        .describe(
            'where the repeatability comes from: own repeats, session changes that left a corner alone, the other gauges, or what is usual',
        ),
    outlier_count: count,
    bias_missing: textOrNull,
    between_sd_deg: estimate,
    believable_change_deg: estimate,
    believable_change_of_three_deg: estimate,
    reference_error_deg: estimate.describe('reading less reference, from references'),
    reference_std_error_deg: estimate.describe('its combined standard uncertainty (GUM)'),
    reference_reading_count: count.describe('readings of references'),
    reference_first_on: textOrNull.describe('day of the first of them'),
    reference_last_on: textOrNull.describe('day of the last of them'),
    reference_missing: textOrNull.describe('why there is no error or standard error'),
    believable_change_of_visits_deg: estimate,
    set_up_deg: estimate,
    set_up_low_deg: estimate,
    set_up_high_deg: estimate,
    set_up_pair_count: count.nullable(),
    set_up_source: z
        .enum(['visits', 'typical', 'prior'])
        .nullable()
        .describe(
            'own pairs across visits or re-mountings, those of the other gauges, or what is usual (never repeated over a mounting)',
        ),
    true_bias_deg: estimate,
    true_bias_std_error_deg: estimate,
    walk_deg_per_week: estimate,
    walk_std_error_deg_per_week: estimate,
    walk_weeks: estimate,
    walks: z.boolean().nullable(),
    p_walks: estimate,
    compared: z.array(compared).describe('against each gauge that read the same settings; gauges only'),
    tolerances: z
        .array(tolerance)
        .describe('share of the tolerance that the measuring takes, per target; gauges only'),
});

export type GaugeRow = z.infer<typeof gaugeRow>;
export const gaugesResult = result('gauges', gaugeRow);
