import { z } from 'zod';
import { chassisCode, count, estimate, result } from './result.js';

export const responses = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;
export const axes = ['out', 'aft'] as const;

export const slopeRow = z.object({
    chassis: chassisCode,
    response: z.enum(responses).describe('angle that changes'),
    axis: z.enum(axes).describe('direction in which the bearing moves: outboard or rearward'),
    estimate_deg_per_mm: estimate.describe("the chassis' own slope, robust joint fit over its moves"),
    std_error_deg_per_mm: estimate.describe('cluster-robust (CR2, one cluster per vehicle)'),
    conf_low_deg_per_mm: estimate.describe('95 % t interval'),
    conf_high_deg_per_mm: estimate.describe('95 % t interval'),
    df: estimate.describe('Satterthwaite degrees of freedom'),
    move_count: count.describe('moves with a change along this axis'),
    vehicle_count: count.describe('vehicles that those moves come from'),
    shrunk_deg_per_mm: estimate.describe(
        'empirical Bayes: drawn towards the other chassis or the geometric prior',
    ),
    shrunk_std_error_deg_per_mm: estimate,
    effective_length_mm: estimate.describe('57.3 / |slope|, for camber and SAI over out and caster over aft'),
    flag: z.string().nullable().describe('why the slope is physically implausible, and the likely mistake'),
    reason: z.string().nullable().describe('why a number is null'),
    downweighted_count: count.describe('moves whose robust weight is under one half'),
    install_count: count.describe(
        'of all moves of this fit, installs and changes of kit, which hold an unknown constant of the kits',
    ),
    unequal_toe_count: count.describe('camber changes that could not be brought to equal toe'),
    no_caster_count: count.describe('of those, changes read with toe, on a chassis without any caster'),
    reliability: estimate.describe('share of the spread of the offsets that is not mark-reading error'),
    reliability_corrected: z.boolean().describe('true where the slope was corrected for that error'),
    mid_mm: estimate.describe('mean offset along this axis at which the slope holds'),
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
