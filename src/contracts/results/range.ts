import { z } from 'zod';
import { chassisCode, count, estimate, named, probability, result, textOrNull } from './result.js';

const tolerance = 'two-sided normal tolerance interval: 95 % of cars with 95 % confidence';
const free =
    'distribution-free interval of the same, null with fewer cars than free_count_needed or where it ends among censored corners';
const noiseFree = 'standard deviation of the true needs, noise of the readings taken away';
/** What the need along one axis rests on. */
const needParts = {
    need_axis_std_error_mm: estimate.describe(
        'standard error of the mean, errors of the slopes and of the bias of who read included',
    ),
    need_axis_sd_noise_mm: estimate.describe(
        'noise of the mean reading of a corner in the need: repeats, told set-ups, pointer and slopes',
    ),
    need_axis_rho: estimate.describe('correlation of left and right of one car'),
    need_axis_free_low_mm: estimate.describe(free),
    need_axis_free_high_mm: estimate.describe(free),
};
/** Half-length from which a share of the corners is reached. */
const least = <P extends string>(share: P) =>
    named('share', share, {
        half_length_share_mm: estimate.describe(
            `half-length of the first scale from which ${share} % of the corners are reached, its middle and direction as they are; null where no length does`,
        ),
        half_length_share_low_mm: estimate.describe('95 % interval'),
        half_length_share_high_mm: estimate.describe('95 % interval'),
    });

/** Offset range that a target needs on one chassis, and what one bolt position and hand of a kit reaches of it. */
export const rangeRow = z.object({
    chassis: chassisCode,
    kit: textOrNull.describe('null = no kit can be judged'),
    target: z.string(),
    plate_index: z
        .int()
        .min(1)
        .nullable()
        .describe('bolt position; null = the best one of each corner, both plates of a car from one pair'),
    plate_hand: z
        .enum(['own', 'other'])
        .nullable()
        .describe("own = the plate of the corner's own side; null with plate_index"),
    corner_count: count.describe('front corners with a reading at a known offset'),
    share_reachable: probability.describe(
        'share of corners that come within tolerance somewhere on the scale',
    ),
    conf_low: probability.describe('95 % Wilson interval with effective_count corners'),
    conf_high: probability.describe('95 % Wilson interval with effective_count corners'),
    need_out_mean_mm: estimate.describe('mean of the needed offset, outboard of the original mount'),
    need_out_sd_mm: estimate.describe(noiseFree),
    need_out_low_mm: estimate.describe(tolerance),
    need_out_high_mm: estimate.describe(tolerance),
    need_aft_mean_mm: estimate.describe('mean of the needed offset, rearward of the original mount'),
    need_aft_sd_mm: estimate.describe(noiseFree),
    need_aft_low_mm: estimate.describe(tolerance),
    need_aft_high_mm: estimate.describe(tolerance),
    mark_step_deg: estimate.describe('change of camber by one mark of the first scale, absolute'),
    mark_step_caster_deg: estimate.describe('change of caster by one mark of the first scale, absolute'),
    mark_pitch_mm: estimate.describe('travel of one mark'),
    mark_pitch_useful_mm: estimate.describe(
        'coarsest pitch at which one mark of either scale changes no judged angle by more than its tolerance (common practice, no source)',
    ),
    vehicle_count: count.describe('cars'),
    censored_count: count.describe(
        'corners whose pointer stands at the end of its scale with the target missed: only a limit of their need is known',
    ),
    set_apart_count: count.describe(
        'corners left out because they lie far from the others: mistakes of writing rather than cars',
    ),
    effective_count: estimate.describe(
        'independent corners that the share rests on: left and right of one car and the error of the slopes counted',
    ),
    ...named('axis', 'out', needParts),
    ...named('axis', 'aft', needParts),
    free_count_needed: count
        .nullable()
        .describe('cars from which the distribution-free interval can be given'),
    half_length_mm: estimate.describe('half-length of the first scale as it is'),
    ...least('90'),
    ...least('95'),
    ...least('99'),
    used_count: count.nullable().describe('corners of the chassis that sit so now'),
    low_end_count: count.nullable().describe('of those, pointer in the lowest tenth of the scale'),
    high_end_count: count.nullable().describe('of those, pointer in the highest tenth of the scale'),
    reason: textOrNull.describe('why numbers are null'),
});

export type RangeRow = z.infer<typeof rangeRow>;
export const rangeResult = result('range', rangeRow);
