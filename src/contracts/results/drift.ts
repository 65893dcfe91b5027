import { z } from 'zod';
import { type CauseName, causes } from '../../stats/drift/causes/index.js';
import { chassisCode, estimate, probability, result } from './result.js';

const names = causes.map(({ name }) => name);
export const driftCauses = names as unknown as readonly [CauseName, ...CauseName[]];
export type DriftCause = CauseName;
export const verdicts = ['held', 'plate_moved', 'bent', 'other', 'unclear'] as const;

const judgedChange = estimate.describe(
    'change by the whole record of the car: what was read before and after that no disturbance parts, biases taken off',
);
const changeError = estimate.describe('of the judged change when nothing happened');

/** `p_` and the name of each cause but that nothing moved. */
const probabilities = Object.fromEntries(
    causes
        .filter(({ name }) => name !== 'held')
        .map((cause) => [
            `p_${cause.name}`,
            probability.describe('meaning' in cause ? cause.meaning : cause.words),
        ]),
);

export const driftRow = z.object({
    vehicle: z.string(),
    chassis: chassisCode,
    corner: z.enum(['FL', 'FR']),
    visit: z.string(),
    session: z.string().nullable(),
    camber_change_deg: estimate.describe('after minus before, as read'),
    caster_change_deg: estimate.describe('after minus before, as read'),
    toe_change_deg: estimate.describe('after minus before, as read; null where tie rods were turned'),
    sai_change_deg: estimate.describe('after minus before, as read'),
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
    p_bent: probability.describe('strut, knuckle or spindle, or two parts at once'),
    p_other: probability.describe('anything else, wrong measuring included'),
    verdict: z.enum(verdicts),
    measured_ts: z.string().nullable().describe('after the session, local wall time'),
    kit: z.string().nullable().describe('null = original mount'),
    plate_hand: z.enum(['left', 'right']).nullable(),
    plate_index: z.int().nullable(),
    camber_equal_toe_deg: estimate.describe('change of camber brought to equal toe; null without toe'),
    camber_judged_deg: judgedChange,
    caster_judged_deg: judgedChange,
    toe_judged_deg: judgedChange,
    sai_judged_deg: judgedChange,
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
    ...probabilities,
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
    is_open: z
        .boolean()
        .describe(
            'something is still to be done: the car may have moved, and nothing has set the corner since',
        ),
    sessions: z
        .string()
        .nullable()
        .describe(
            'all runs between the two readings, where there is more than one or this visit did not read after it',
        ),
    after_visit: z.string().nullable().describe('visit of the reading after the session; null = this visit'),
    earlier_slip_count: z.int().describe('slips of this corner that were named before this session'),
    hits: z.int().nullable().describe('strikes that the crew counted in the session'),
    session_note: z.string().nullable().describe('what the crew wrote of the session'),
    reason: z.string().nullable().describe('why the corner cannot be compared'),
});

export type DriftRow = z.infer<typeof driftRow>;
export const driftResult = result('drift', driftRow);
