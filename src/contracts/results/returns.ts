import { z } from 'zod';
import { count, estimate, result, textOrNull } from './result.js';

/** How well one kit comes back to its marks, all of them or one. */
export const returnRow = z.object({
    kit: z.string(),
    bearing: textOrNull.describe('kind of bearing of the kit; null = not told'),
    plate_index: z.int().min(1).nullable().describe('bolt position; null = all marks together'),
    mark_1: estimate.describe('null = all marks together'),
    mark_2: estimate.describe('null = all marks together, or one scale'),
    response: z.enum(['camber_deg', 'caster_deg']),
    spread_deg: estimate.describe(
        'standard deviation of what comes back beyond what the readings themselves scatter: pointer, plate and bearing',
    ),
    spread_low_deg: estimate.describe('95 % interval (Q-profile)'),
    spread_high_deg: estimate.describe('95 % interval'),
    reading_deg: estimate.describe('standard uncertainty of one of these readings: repeats and set-up'),
    return_count: count.describe('times that a corner came back to marks that it had left'),
    setting_count: count.describe('settings behind them'),
    corner_count: count.describe('front corners behind them'),
    reason: textOrNull.describe('why there is no spread'),
});

export type ReturnRow = z.infer<typeof returnRow>;
export const returnsResult = result('gauges', returnRow);
