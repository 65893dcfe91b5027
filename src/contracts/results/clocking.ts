import { z } from 'zod';
import {
    chassisCode,
    estimate,
    fronts,
    hands,
    limitChances,
    probability,
    result,
    textOrNull,
} from './result.js';

export const clockingRow = z.object({
    rank: z
        .int()
        .min(1)
        .describe(
            'of the way to clock the pair; the rows of one way share it. Without --kit: of the kit, each with its best way',
        ),
    corner: z.enum(fronts),
    plate_hand: z.enum(hands).describe('which of the mirrored pair goes here'),
    plate_index: z.int().min(1).describe('bolt position'),
    camber_min_deg: estimate.describe('least that the plate is expected to reach here'),
    camber_max_deg: estimate,
    caster_min_deg: estimate,
    caster_max_deg: estimate,
    p_in_tolerance: probability.describe('camber and caster both within tolerance at the marks of this row'),
    mark_1: z.number(),
    mark_2: estimate.describe('null = the plate has one scale'),
    note: z.string(),
    vehicle: textOrNull.describe('null = the median car of the chassis'),
    chassis: chassisCode,
    target: z.string(),
    kit: z.string(),
    symmetrical: z.boolean().describe('left and right are mirror images'),
    own_hands: z.boolean().describe('left plate left, right plate right'),
    reachable: z.boolean().describe('the expected angles lie within tolerance'),
    camber_deg: estimate.describe('expected at the marks of this row'),
    caster_deg: estimate.describe('expected at the marks of this row'),
    ...limitChances,
    p_all: probability.describe('all corners and targets of the way, taken as independent'),
    spare_mm: z.number().describe('travel left to the nearer end of a scale'),
    caster_from_original_deg: z
        .number()
        .describe(
            'what the bearing at this setting adds to the caster of the original mount; negative = lost',
        ),
});

export type ClockingRow = z.infer<typeof clockingRow>;
export const clockingResult = result('clocking', clockingRow);
