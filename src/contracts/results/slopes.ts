import { z } from 'zod';
import { axes, chassisCode, count, estimate, responses, result, textOrNull } from './result.js';

export const slopeRow = z.object({
    chassis: chassisCode,
    response: z.enum(responses).describe('angle that changes'),
    axis: z.enum(axes).describe('direction in which the bearing moves: outboard or rearward'),
    estimate_deg_per_mm: estimate,
    std_error_deg_per_mm: estimate,
    conf_low_deg_per_mm: estimate,
    conf_high_deg_per_mm: estimate,
    df: estimate,
    move_count: count,
    vehicle_count: count,
    shrunk_deg_per_mm: estimate,
    shrunk_std_error_deg_per_mm: estimate,
    effective_length_mm: estimate,
    flag: textOrNull,
    reason: textOrNull,
    downweighted_count: count,
    install_count: count,
    unequal_toe_count: count,
    no_caster_count: count,
    reliability: estimate,
    reliability_corrected: z.boolean(),
    mid_mm: estimate,
});

/** What one mark further is worth. */
export const markRow = z.object({
    chassis: chassisCode,
    kit: z.string(),
    plate_index: z.int().min(1).describe('bolt position'),
    hand: z.enum(['own', 'other']).describe('own = each side has the plate of its own hand'),
    scale: z.int().min(1).max(2).describe('which of the scales of the plate'),
    out_mm: z.number().describe('outboard, for one mark up'),
    aft_mm: z.number().describe('rearward, for one mark up'),
    camber_deg: estimate.describe('expected change for one mark up'),
    camber_low_deg: estimate.describe("95 % interval, of the chassis' slopes"),
    camber_high_deg: estimate,
    caster_deg: estimate,
    caster_low_deg: estimate,
    caster_high_deg: estimate,
    toe_deg: estimate.describe(
        'per wheel, tie rods untouched; null without own moves that read toe in between',
    ),
    toe_low_deg: estimate,
    toe_high_deg: estimate,
});

export type MarkRow = z.infer<typeof markRow>;
export type SlopeRow = z.infer<typeof slopeRow>;
export const slopesResult = result('slopes', slopeRow).extend({ marks: z.array(markRow) });
