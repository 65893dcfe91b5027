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
    camber_change_deg: estimate,
    caster_change_deg: estimate,
    toe_change_deg: estimate,
    sai_change_deg: estimate,
    slip_out_mm: estimate,
    slip_out_std_error_mm: estimate,
    slip_aft_mm: estimate,
    slip_aft_std_error_mm: estimate,
    p_held: probability,
    p_plate_moved: probability,
    p_bent: probability,
    p_other: probability,
    verdict: z.enum(verdicts),
    measured_ts: z.string().nullable(),
    kit: z.string().nullable(),
    plate_hand: z.enum(['left', 'right']).nullable(),
    plate_index: z.int().nullable(),
    camber_equal_toe_deg: estimate,
    camber_judged_deg: judgedChange,
    caster_judged_deg: judgedChange,
    toe_judged_deg: judgedChange,
    sai_judged_deg: judgedChange,
    camber_std_error_deg: changeError,
    caster_std_error_deg: changeError,
    toe_std_error_deg: changeError,
    sai_std_error_deg: changeError,
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
    after_visit: z.string().nullable(),
    earlier_slip_count: z.int().describe('slips of this corner that were named before this session'),
    hits: z.int().nullable().describe('strikes that the crew counted in the session'),
    session_note: z.string().nullable().describe('what the crew wrote of the session'),
    reason: z.string().nullable(),
});

export type DriftRow = z.infer<typeof driftRow>;
export const driftResult = result('drift', driftRow);
