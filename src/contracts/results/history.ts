import { z } from 'zod';
import { chassisCode, estimate, fronts, hands, result, textOrNull } from './result.js';

const trueInterval = '95 % interval of the true angle';

/** A setting that one front corner was left at. */
export const historyRow = z.object({
    vehicle: z.string(),
    chassis: chassisCode,
    visit: z.string().describe('install or adjust visit that left the setting'),
    visit_kind: z.enum(['install', 'adjust']),
    visit_order: z.int().min(1).describe('1 = the newest visit'),
    left_on: textOrNull.describe('day, ISO 8601; null = not known'),
    corner: z.enum(fronts),
    kit: textOrNull.describe('null = original mount'),
    plate_hand: z.enum(hands).nullable(),
    plate_index: z.int().min(1).nullable().describe('bolt position'),
    mark_1: estimate.describe('null = no mark was written down'),
    mark_2: estimate,
    offset_out_mm: estimate.describe("bearing centre outboard of the original mount's"),
    offset_aft_mm: estimate.describe("bearing centre rearward of the original mount's"),
    camber_deg: estimate.describe('as read, less what gauge and person are known to add'),
    camber_low_deg: estimate.describe(trueInterval),
    camber_high_deg: estimate.describe(trueInterval),
    caster_deg: estimate,
    caster_low_deg: estimate,
    caster_high_deg: estimate,
    toe_deg: estimate.describe('per wheel'),
    toe_low_deg: estimate,
    toe_high_deg: estimate,
    target: textOrNull.describe('what it was set to'),
    met_as_read: z
        .boolean()
        .nullable()
        .describe('every reading inside the tolerance; null = nothing to judge'),
    met: z
        .enum(['inside', 'outside', 'undecided'])
        .nullable()
        .describe('the same with the guard band of audit (1.65 standard uncertainties)'),
    stands_now: z.boolean().describe('plate, bolt position and marks are those of the newest reading'),
    source_file: textOrNull,
    source_line: z.int().nullable(),
});

export type HistoryRow = z.infer<typeof historyRow>;
export const historyResult = result('history', historyRow);
