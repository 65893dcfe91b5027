import { z } from 'zod';
import { axes, chassisCode, count, estimate, responses, result, textOrNull } from './result.js';

/** How many cars would tell a slope, or the share that a kit reaches, to the width asked for. */
export const planRow = z.object({
    what: z.enum(['slope', 'share']),
    chassis: chassisCode,
    response: z.enum(responses).nullable().describe('angle of a slope; null for a share'),
    axis: z.enum(axes).nullable().describe('direction of a slope; null for a share'),
    kit: textOrNull.describe('null for a slope'),
    target: textOrNull.describe('null for a slope'),
    estimate: estimate.describe('slope, deg/mm, or share, as it is known now'),
    half_width: estimate.describe('half of its 95 % interval now'),
    wanted_half_width: z.number(),
    vehicle_count: count.describe('cars behind it now'),
    vehicles_needed: count
        .nullable()
        .describe('cars in all for the wanted width, each like those at hand; the car is the cluster'),
    more_needed: count.nullable().describe('of those, how many more'),
    basis: z
        .enum(['own', 'field'])
        .nullable()
        .describe('variance per car: of this chassis, or with fewer than 5 cars the median of the others'),
    reason: textOrNull.describe('why there is no number of cars'),
});

export type PlanRow = z.infer<typeof planRow>;
export const planResult = result('plan', planRow);
