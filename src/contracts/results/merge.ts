import { z } from 'zod';
import { rangeRow } from './range.js';
import { axes, chassisCode, count, estimate, responses, result } from './result.js';
import { slopeRow } from './slopes.js';

/** A slope of the pooled field, with the fields of `slopes`. */
export const mergeRow = slopeRow.extend({
    site_count: count.describe('sites whose cars those moves come from'),
});

/** How the slopes of one angle along one axis differ between the chassis of the pooled field. */
export const populationRow = z.object({
    response: z.enum(responses),
    axis: z.enum(axes),
    chassis_count: count.describe('chassis with a slope of their own and without a flag'),
    mean_deg_per_mm: estimate.describe('mean that the shrinkage uses, geometric prior included'),
    mean_std_error_deg_per_mm: estimate,
    between_var_deg2_per_mm2: estimate.describe(
        'variance between chassis that the shrinkage uses, geometric prior included',
    ),
    paule_mandel_mean_deg_per_mm: estimate.describe(
        'weighted mean of the chassis alone; null without chassis',
    ),
    paule_mandel_var_deg2_per_mm2: estimate.describe(
        'variance between chassis from them alone; null with fewer than two',
    ),
});

/** Offset range that a target needs on one chassis of the pooled field, with the fields of `range`. */
export const needRow = rangeRow
    .pick({
        chassis: true,
        corner_count: true,
        vehicle_count: true,
        censored_count: true,
        set_apart_count: true,
        need_out_mean_mm: true,
        need_out_sd_mm: true,
        need_out_low_mm: true,
        need_out_high_mm: true,
        need_out_free_low_mm: true,
        need_out_free_high_mm: true,
        need_out_std_error_mm: true,
        need_out_sd_noise_mm: true,
        need_out_rho: true,
        need_aft_mean_mm: true,
        need_aft_sd_mm: true,
        need_aft_low_mm: true,
        need_aft_high_mm: true,
        need_aft_free_low_mm: true,
        need_aft_free_high_mm: true,
        need_aft_std_error_mm: true,
        need_aft_sd_noise_mm: true,
        need_aft_rho: true,
        free_count_needed: true,
        reason: true,
    })
    .extend({
        chassis: chassisCode,
        target: z
            .string()
            .describe('the target by its angles and tolerances: sites need not call it the same'),
        site_count: count.describe('sites whose corners count'),
    });

/** What a plate reaches of the pooled needs, both plates of a car from one pair, each corner in its best bolt position. */
export const reachRow = rangeRow
    .pick({
        chassis: true,
        target: true,
        corner_count: true,
        vehicle_count: true,
        share_reachable: true,
        conf_low: true,
        conf_high: true,
        half_length_mm: true,
        half_length_90_mm: true,
        half_length_90_low_mm: true,
        half_length_90_high_mm: true,
        half_length_95_mm: true,
        half_length_95_low_mm: true,
        half_length_95_high_mm: true,
        half_length_99_mm: true,
        half_length_99_low_mm: true,
        half_length_99_high_mm: true,
        reason: true,
    })
    .extend({ kit: z.string().describe('kit of --kit, or the slot of --slot, through the mean need') });

export type ReachRow = z.infer<typeof reachRow>;
export type MergeRow = z.infer<typeof mergeRow>;
export type PopulationRow = z.infer<typeof populationRow>;
export type NeedRow = z.infer<typeof needRow>;
export const mergeResult = result('merge', mergeRow).extend({
    populations: z.array(populationRow).describe('between-chassis variances'),
    needs: z.array(needRow).describe('needed offsets per chassis and target'),
    reaches: z.array(reachRow).describe('with --kit or --slot: share reached, and half-lengths of slot'),
});
