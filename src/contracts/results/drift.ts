import { z } from 'zod';
import { type CauseName, causes } from '../../stats/drift/causes/index.js';
import { chassisCode, estimate, probability, result, textOrNull } from './result.js';

const names = causes.map(({ name }) => name);
export const driftCauses = names as unknown as readonly [CauseName, ...CauseName[]];
export const verdicts = ['held', 'plate_moved', 'bent', 'other', 'unclear'] as const;

const judgedChange = estimate.describe(
    'change by the whole record of the car: what was read before and after that no disturbance parts, biases taken off',
);
const changeError = estimate.describe('of the judged change when nothing happened');

/** The change of each angle as it is judged, with its standard error. */
const judged = (change: typeof estimate) => ({
    camber_judged_deg: change,
    caster_judged_deg: change,
    toe_judged_deg: change,
    sai_judged_deg: change,
    camber_std_error_deg: changeError,
    caster_std_error_deg: changeError,
    toe_std_error_deg: changeError,
    sai_std_error_deg: changeError,
});

const classChances = {
    p_held: probability,
    p_plate_moved: probability,
    p_bent: probability,
    p_other: probability,
};

const setAgainOn = textOrNull.describe(
    'day of the first later install or adjust visit that set this corner; null = none',
);

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
    session: textOrNull,
    camber_change_deg: estimate,
    caster_change_deg: estimate,
    toe_change_deg: estimate,
    sai_change_deg: estimate,
    slip_out_mm: estimate,
    slip_out_std_error_mm: estimate,
    slip_aft_mm: estimate,
    slip_aft_std_error_mm: estimate,
    ...classChances,
    verdict: z.enum(verdicts),
    measured_ts: textOrNull,
    kit: textOrNull,
    plate_hand: z.enum(['left', 'right']).nullable(),
    plate_index: z.int().nullable(),
    camber_equal_toe_deg: estimate,
    ...judged(judgedChange),
    slip_cov_mm2: estimate,
    freedom: z
        .enum(['slot', 'plane', 'none'])
        .describe(
            'slot: slides along one line; plane: two scales, or not known which line; none: original mount',
        ),
    mark_1_back: estimate,
    mark_2_back: estimate,
    ...probabilities,
    cause: z.enum(driftCauses).nullable().describe('likeliest of the finer ones'),
    p_cause: probability,
    next_cause: z.enum(driftCauses).nullable().describe('second likeliest'),
    p_wrong: probability,
    words: z.string().describe('what happened, in words'),
    reading_that_would_tell: textOrNull.describe('for an unclear corner that has not been set again since'),
    set_again_on: setAgainOn,
    put_right_on: textOrNull.describe(
        'day on which it was found put right, without a record, before anything else ran',
    ),
    is_open: z
        .boolean()
        .describe(
            'something is still to be done: the car may have moved, and nothing has set the corner since',
        ),
    sessions: textOrNull.describe(
        'all runs between the two readings, where there is more than one or this visit did not read after it',
    ),
    after_visit: textOrNull,
    earlier_slip_count: z.int().describe('slips of this corner that were named before this session'),
    hits: z.int().nullable().describe('strikes that the crew counted in the session'),
    session_note: textOrNull.describe('what the crew wrote of the session'),
    reason: textOrNull,
});

export type DriftRow = z.infer<typeof driftRow>;

const changeBesides = estimate.describe(
    'change by the whole record of the car, what the pointers say was set taken off',
);

/** A front that moved though nothing ran, or other than its pointers say. */
export const unrecordedRow = z.object({
    vehicle: z.string(),
    chassis: chassisCode,
    corner: z.enum(['FL', 'FR']),
    disturbance: z
        .enum(['transport', 'adjustment'])
        .describe(
            'transport: nothing ran and nothing was set by the pointers; adjustment: set by the pointers, or in an install or adjust visit',
        ),
    before_visit: z.string().describe('visit of the state before it'),
    visit: z.string().describe('visit of the state after it'),
    phase: z.enum(['before', 'moved', 'after']).describe('phase of the state after it'),
    measured_ts: textOrNull,
    kit: textOrNull,
    plate_hand: z.enum(['left', 'right']).nullable(),
    plate_index: z.int().nullable(),
    set_out_mm: estimate.describe('what the pointers say was set, outboard; null where they stand as before'),
    set_aft_mm: estimate.describe('rearward'),
    ...judged(changeBesides),
    slip_out_mm: estimate.describe('how far the bearing stands off, if it moved in its plate: outboard'),
    slip_out_std_error_mm: estimate,
    slip_aft_mm: estimate.describe('rearward'),
    slip_aft_std_error_mm: estimate,
    slip_cov_mm2: estimate,
    ...classChances,
    p_put_right: probability.describe(
        'what moved over the run before it was put right, or measured right again, without a record',
    ),
    verdict: z.enum(['put_right', 'plate_moved', 'bent', 'other', 'unclear']),
    cause: z.enum(driftCauses).describe('likeliest of the finer ones'),
    p_cause: probability,
    next_cause: z.enum(driftCauses).describe('second likeliest'),
    set_again_on: setAgainOn,
    is_open: z.boolean().describe('it was not put right, and nothing has set the corner since'),
    words: z.string().describe('what happened, in words'),
});

export type UnrecordedRow = z.infer<typeof unrecordedRow>;
export const driftResult = result('drift', driftRow).extend({ unrecorded: z.array(unrecordedRow) });
