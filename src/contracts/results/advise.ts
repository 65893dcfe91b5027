import { z } from 'zod';
import {
    basis,
    chassisCode,
    count,
    estimate,
    fronts,
    hands,
    limitChances,
    named,
    probability,
    result,
    textOrNull,
} from './result.js';

const interval = '95 % interval of the true angle; a reading adds the noise of its gauge';
const wheel = 'per wheel, tie rods untouched';
const putBack =
    'per wheel, what the tie rods have to add to reach the target, or the present toe where the target names none';

const shown = 'what one reading by who read the present angle will show next time, by a mounting of its own';

/** What is shown next time, and the parts of the standard uncertainty of the true angle. */
const angleParts = {
    angle_shown_deg: estimate.describe(shown),
    angle_shown_low_deg: estimate.describe('95 % interval of the same'),
    angle_shown_high_deg: estimate.describe('95 % interval of the same'),
    angle_repeat_sd_deg: estimate.describe('part from repeating: shrinks with more repeats'),
    angle_set_up_sd_deg: estimate.describe('part from the set-up of the visit: shrinks with re-mounting'),
    angle_bias_deg: estimate.describe(
        'what gauge and person add to the true angle, as far as known; taken off',
    ),
    angle_bias_sd_deg: estimate.describe('part from what is not known of that'),
    angle_move_sd_deg: estimate.describe('part from slopes, pointers and plates'),
};

/** What an answer of `advise` aims at. */
export const asks = ['target', 'change', 'equal', 'most', 'back_to'] as const;

/** The change of an angle from the present true one, at the present toe unless the target names one. */
const changeParts = {
    angle_change_deg: estimate.describe('expected change from the present true angle'),
    angle_change_low_deg: estimate.describe('95 % interval of the change: slopes, pointers and plates'),
    angle_change_high_deg: estimate,
    wanted_angle_deg: estimate.describe('what is aimed at; null = nothing'),
    wanted_angle_within_deg: estimate.describe('tolerance of that, plus or minus'),
};

/** One setting that a corner's pointers can be put to, with what it is expected to give. */
export const adviseRow = z.object({
    vehicle: textOrNull.describe('null = corners told with --from and no name'),
    chassis: chassisCode.nullable(),
    corner: z.enum(fronts),
    target: z.string().describe('name of the target, or what was asked for instead of one'),
    kit: z.string(),
    plate_hand: z.enum(hands).describe('which of the mirrored pair sits here'),
    plate_index: z.int().min(1).nullable().describe('bolt position'),
    mark_1: estimate.describe('null = stays at an offset that was measured without marks'),
    mark_2: estimate.describe('null = the plate has one scale'),
    offset_out_mm: z.number().describe("bearing centre outboard of the original mount's"),
    offset_aft_mm: z.number().describe("bearing centre rearward of the original mount's"),
    move_out_mm: z.number().describe('outboard, from the present place'),
    move_aft_mm: z.number().describe('rearward, from the present place'),
    camber_deg: estimate.describe("expected at the target's toe"),
    camber_low_deg: estimate.describe(interval),
    camber_high_deg: estimate.describe(interval),
    caster_deg: estimate.describe('expected'),
    caster_low_deg: estimate.describe(interval),
    caster_high_deg: estimate.describe(interval),
    toe_change_deg: z.number().describe(wheel),
    reachable: z.boolean().describe('the expected angles of this corner lie within tolerance'),
    p_in_tolerance: probability.describe(
        'camber and caster of this corner both within tolerance; with --change, their changes',
    ),
    words: z.string().describe('what to do, in words'),
    stay: z.boolean().describe('the present setting'),
    same_clocking: z.boolean().describe('plate and bolt position stay as they are'),
    p_both: probability.describe(
        'all corners and cross limits together, taken as independent: a lower bound where the target is met on average',
    ),
    ...limitChances,
    p_cross_camber: probability.describe('left minus right camber within its limit; null = none'),
    p_cross_caster: probability.describe('left minus right caster within its limit; null = none'),
    stop: z
        .enum(['scale_end', 'between_marks', 'slot_direction'])
        .nullable()
        .describe('what keeps the expected angles out of tolerance'),
    short_camber_deg: estimate.describe('change still needed to reach the tolerance, 0 inside'),
    short_caster_deg: estimate.describe('change still needed to reach the tolerance, 0 inside'),
    short_out_mm: estimate.describe('move that would bring the missing change, outboard'),
    short_aft_mm: estimate.describe('move that would bring the missing change, rearward'),
    cross_camber_deg: estimate.describe('expected left minus right'),
    cross_caster_deg: estimate.describe('expected left minus right'),
    toe_change_low_deg: z.number(),
    toe_change_high_deg: z.number(),
    toe_total_change_deg: estimate.describe('both wheels together, tie rods untouched'),
    toe_total_change_low_deg: estimate,
    toe_total_change_high_deg: estimate,
    toe_put_back_deg: z.number().describe(putBack),
    toe_put_back_low_deg: z.number(),
    toe_put_back_high_deg: z.number(),
    toe_put_back_mm: estimate.describe('the same at --toe-diameter, D sin(toe)'),
    toe_put_back_low_mm: estimate,
    toe_put_back_high_mm: estimate,
    toe_put_back_turns: estimate.describe(
        'the same in turns of the tie rod, from --thread-pitch and --arm-length: arm sin(toe) / pitch',
    ),
    toe_total_put_back_deg: estimate.describe('both wheels together'),
    toe_total_put_back_low_deg: estimate,
    toe_total_put_back_high_deg: estimate,
    toe_total_put_back_mm: estimate.describe('both wheels together at --toe-diameter'),
    toe_between_deg: estimate.describe(
        "from the first target's setting to this one, per wheel, tie rods untouched",
    ),
    toe_between_low_deg: estimate,
    toe_between_high_deg: estimate,
    toe_total_between_deg: estimate.describe('the same, both wheels together'),
    one_toe_deg: estimate.describe(
        'toe of this wheel to set at the first target so that both targets are met best; null without toe and tolerance in both',
    ),
    p_one_toe: probability.describe('that this one toe is within tolerance at the second target'),
    ...named('angle', 'camber', angleParts),
    ...named('angle', 'caster', angleParts),
    camber_basis: basis,
    caster_basis: basis,
    toe_basis: basis,
    camber_move_count: count.describe('moves of this chassis behind the camber slopes'),
    caster_move_count: count.describe('moves of this chassis behind the caster slopes'),
    toe_move_count: count.describe('moves of this chassis behind the toe slopes'),
    asked: z.enum(asks).describe('a target, or --change, --equal, --most, --back-to'),
    ...named('angle', 'camber', changeParts),
    ...named('angle', 'caster', changeParts),
    stopped_by: z
        .enum(['scale_end', 'slot_direction', 'margin', 'lose', 'limit'])
        .nullable()
        .describe('with --most: what keeps the angle from going further'),
    marks_alone: z
        .boolean()
        .nullable()
        .describe(
            'with --back-to: marks and nothing else bring camber and caster of this corner back, as far as readings tell: false for 5 % at most of cars that come back, over all angles of the answer',
        ),
    class: textOrNull.describe('with --class: whose limits are meant; null = none'),
    p_camber_over: probability.describe(
        "with --class: that an inspector's gauge reads camber beyond the limit of the class; null = no limit, or not read",
    ),
    p_caster_over: probability.describe('the same for caster'),
});

export type AdviseRow = z.infer<typeof adviseRow>;
export const adviseResult = result('advise', adviseRow);
