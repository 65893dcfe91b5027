import { directionWords } from './directionWords.js';
import { plain } from './plain.js';
import { signed } from './signed.js';

/** What a cause is called in a sentence. */
export const causeWords = {
    held: 'nothing moved',
    plate_slipped: 'the bearing slipped in its plate',
    mount_moved: 'the plate moved on the tower, or the tower itself',
    spindle_bent: 'knuckle or spindle bent, or rim run-out',
    strut_bent: 'strut bent, or strut-to-knuckle bolts moved',
    tie_rod_turned: 'tie rod turned or bent',
    lower_arm_moved: 'lower arm, its bracket or its bush moved',
    misread: 'one reading is wrong',
    unexplained: 'several angles changed in no known pattern',
    cradle_moved: 'the cradle moved sideways',
    reference_rolled: 'the floor, or the reference of the gauge, rolled',
    gauge_zero: 'the zero of the gauge, or the rake of the car, changed',
    steering_off: 'the steering was not straight in one of the readings',
} as const;
export type Cause = keyof typeof causeWords;

/** What the words below need of a row of `drift`. */
export interface Drifted {
    verdict: 'held' | 'plate_moved' | 'bent' | 'other' | 'unclear';
    cause: Cause | null;
    p_cause: number | null;
    next_cause: Cause | null;
    reason: string | null;
    camber_change_deg: number | null;
    camber_equal_toe_deg: number | null;
    slip_out_mm: number | null;
    slip_out_std_error_mm: number | null;
    slip_aft_mm: number | null;
    slip_aft_std_error_mm: number | null;
    mark_1_back: number | null;
    mark_2_back: number | null;
}

/** Which angles, and which other corners, were read before and after. */
export interface ReadAngles {
    has_caster: boolean;
    has_toe: boolean;
    has_sai: boolean;
    has_rears: boolean;
    has_other_front: boolean;
}

/** `+1.5 marks`, `+1.5 marks on the first scale and -0.5 on the second`; null where the plate has no known marks. */
export function marksBackWords({
    mark_1_back,
    mark_2_back,
}: Pick<Drifted, 'mark_1_back' | 'mark_2_back'>): string | null {
    if (mark_1_back === null) return null;
    if (mark_2_back === null) return `${signed(mark_1_back, 1)} marks`;
    return `${signed(mark_1_back, 1)} marks on the first scale and ${signed(mark_2_back, 1)} on the second`;
}

/** `3.1 mm inboard (standard error 0.4)`. */
export function slipWords(
    row: Pick<Drifted, 'slip_out_mm' | 'slip_aft_mm' | 'slip_out_std_error_mm' | 'slip_aft_std_error_mm'>,
): string {
    const [out, aft] = [row.slip_out_mm ?? 0, row.slip_aft_mm ?? 0];
    const size = Math.hypot(out, aft);
    const error = Math.hypot(
        ((row.slip_out_std_error_mm ?? 0) * out) / size,
        ((row.slip_aft_std_error_mm ?? 0) * aft) / size,
    );
    return `${plain(size, 1)} mm ${directionWords(out, aft)} (standard error ${plain(error, 1)})`;
}

function movedWords(row: Drifted): string {
    if (row.cause === 'mount_moved') return `${causeWords.mount_moved}, ${slipWords(row)}`;
    const marks = marksBackWords(row);
    const back = marks === null ? '' : `; ${marks} would put it back`;
    return `the bearing slipped ${slipWords(row)}${back}`;
}

/** What happened to the corner, in words without a full stop. */
export function driftWords(row: Drifted): string {
    if (row.reason !== null) return `cannot be compared: ${row.reason}`;
    switch (row.verdict) {
        case 'held':
            return 'held';
        case 'plate_moved':
            return movedWords(row);
        case 'bent':
            return `${causeWords[row.cause!]}: camber and included angle ${signed(row.camber_equal_toe_deg ?? row.camber_change_deg ?? 0, 2)} deg. Have it inspected before it runs again`;
        case 'other':
            return causeWords[row.cause!];
        case 'unclear': {
            const [first, second] = [row.cause!, row.next_cause!];
            return `cannot tell: ${causeWords[first]} (${row.p_cause!.toFixed(2)}), or ${causeWords[second]}`;
        }
    }
}

const wholeCar: readonly Cause[] = ['cradle_moved', 'reference_rolled', 'gauge_zero'];
const bearing: readonly Cause[] = ['plate_slipped', 'mount_moved'];
const bends: readonly Cause[] = ['spindle_bent', 'strut_bent'];
const toeCauses: readonly Cause[] = ['tie_rod_turned', 'lower_arm_moved', 'steering_off', 'strut_bent'];

/** The reading that would part the two likeliest causes of an unclear corner; null for any other. */
export function readingThatWouldTell(row: Drifted, read: ReadAngles): string | null {
    if (row.verdict !== 'unclear' || row.reason !== null) return null;
    const suspects = [row.cause!, row.next_cause!];
    const among = (causes: readonly Cause[]) => suspects.some((cause) => causes.includes(cause));
    if (!read.has_toe && !read.has_sai && !read.has_caster) {
        return 'SAI, caster and toe as well, before and after: camber alone does not part the causes';
    }
    if (among(wholeCar) && !read.has_rears) return 'camber of both rear wheels, before and after';
    if (among(wholeCar) && !read.has_other_front) return 'the other front wheel, before and after';
    if (among(bearing) && among(bends) && !read.has_sai)
        return 'SAI: a slip moves it against camber, a bend does not';
    if (among(toeCauses) && !read.has_toe) return 'toe, before and after';
    if (among(bearing) && among(bends)) return 'SAI again, three times, and the pointer of the plate';
    if (among(bearing)) return 'the pointer of the plate, and camber and toe again, three times';
    if (among(wholeCar)) return 'all four corners again, rolled off the stands and back';
    if (among(toeCauses)) return 'toe again, three times, steering locked straight';
    return 'the same angles again, three times';
}
