import { z } from 'zod';
import { chassisCode, estimate, probability, result } from './result.js';

export const driftCauses = [
    'held',
    'plate_slipped',
    'mount_moved',
    'spindle_bent',
    'strut_bent',
    'tie_rod_turned',
    'lower_arm_moved',
    'misread',
    'unexplained',
    'cradle_moved',
    'reference_rolled',
    'gauge_zero',
    'steering_off',
] as const;
export type DriftCause = (typeof driftCauses)[number];
export const verdicts = ['held', 'plate_moved', 'bent', 'other', 'unclear'] as const;

const changeError = estimate.describe('of the change when nothing happened');

export const driftRow = z.object({
    vehicle: z.string(),
    chassis: chassisCode,
    corner: z.enum(['FL', 'FR']),
    visit: z.string(),
    session: z.string().nullable(),
    camber_change_deg: estimate.describe('after minus before, as read'),
    caster_change_deg: estimate.describe('after minus before'),
    toe_change_deg: estimate.describe('after minus before; null where tie rods were turned'),
    sai_change_deg: estimate.describe('after minus before'),
    slip_out_mm: estimate.describe(
        'if the bearing slipped: outboard; along the slot where the plate has one',
    ),
    slip_out_std_error_mm: estimate.describe(
        'of the outboard part alone; words give that along the slip, which takes slip_cov_mm2 too',
    ),
    slip_aft_mm: estimate.describe('if the bearing slipped: rearward'),
    slip_aft_std_error_mm: estimate.describe('of the rearward part alone'),
    p_held: probability.describe('null = cannot be compared, see reason'),
    p_plate_moved: probability.describe('bearing in its plate, or plate on its tower'),
    p_bent: probability.describe('strut, knuckle or spindle'),
    p_other: probability.describe('anything else, wrong measuring included'),
    verdict: z.enum(verdicts),
    measured_ts: z.string().nullable().describe('after the session, local wall time'),
    kit: z.string().nullable().describe('null = original mount'),
    plate_hand: z.enum(['left', 'right']).nullable(),
    plate_index: z.int().nullable(),
    camber_equal_toe_deg: estimate.describe('change of camber brought to equal toe; null without toe'),
    camber_std_error_deg: changeError,
    caster_std_error_deg: changeError,
    toe_std_error_deg: changeError,
    sai_std_error_deg: changeError,
    slip_cov_mm2: estimate.describe('covariance of slip_out_mm and slip_aft_mm'),
    freedom: z
        .enum(['slot', 'plane', 'none'])
        .describe(
            'slot: slides along one line; plane: two scales, or not known which line; none: original mount',
        ),
    mark_1_back: estimate.describe('marks on the first scale that would undo the slip'),
    mark_2_back: estimate.describe('on the second scale'),
    p_plate_slipped: probability.describe('bearing in its plate'),
    p_mount_moved: probability.describe(
        'plate on its tower, or the tower; null where the plate slides in a plane, which looks the same',
    ),
    p_spindle_bent: probability.describe('knuckle or spindle, or rim run-out'),
    p_strut_bent: probability.describe('strut, or strut-to-knuckle bolts'),
    p_tie_rod_turned: probability,
    p_lower_arm_moved: probability.describe('lower arm, its bracket or bush'),
    p_misread: probability.describe('one wrong reading'),
    p_unexplained: probability.describe('several angles in no known pattern'),
    p_cradle_moved: probability.describe('sideways; both fronts'),
    p_reference_rolled: probability.describe('floor or reference of the gauge; all corners'),
    p_gauge_zero: probability.describe('zero of the gauge, or rake; all corners alike'),
    p_steering_off: probability.describe('steering not straight in one of the readings'),
    cause: z.enum(driftCauses).nullable().describe('likeliest of the finer ones'),
    p_cause: probability,
    next_cause: z.enum(driftCauses).nullable().describe('second likeliest'),
    p_wrong: probability.describe('that the class named, or next to be named, is wrong'),
    words: z.string().describe('what happened, in words'),
    reading_that_would_tell: z
        .string()
        .nullable()
        .describe('for an unclear corner that has not been set again since'),
    set_again_on: z
        .string()
        .nullable()
        .describe('day of the first later install or adjust visit that set this corner; null = none'),
    reason: z.string().nullable().describe('why the corner cannot be compared'),
});

export type DriftRow = z.infer<typeof driftRow>;
export const driftResult = result('drift', driftRow);
