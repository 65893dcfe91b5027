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
    /** When the corner was read after the session. */
    measured_ts: string | null;
    /** Day of the first later visit that set the corner. */
    set_again_on: string | null;
    has_sai: boolean;
    camber_change_deg: number | null;
    camber_equal_toe_deg: number | null;
    caster_change_deg: number | null;
    toe_change_deg: number | null;
    sai_change_deg: number | null;
    camber_std_error_deg: number | null;
    caster_std_error_deg: number | null;
    toe_std_error_deg: number | null;
    sai_std_error_deg: number | null;
    slip_out_mm: number | null;
    slip_out_std_error_mm: number | null;
    slip_aft_mm: number | null;
    slip_aft_std_error_mm: number | null;
    slip_cov_mm2: number | null;
    mark_1_back: number | null;
    mark_2_back: number | null;
}

/** Which angles, and which other corners, were read before and after. */
interface ReadAngles {
    has_caster: boolean;
    has_toe: boolean;
    has_sai: boolean;
    has_rears: boolean;
    has_other_front: boolean;
}

/** `+1.5 marks`, `+1.5 marks on the first scale and -0.5 on the second`; null where the plate has no known marks. */
function marksBackWords({
    mark_1_back,
    mark_2_back,
}: Pick<Drifted, 'mark_1_back' | 'mark_2_back'>): string | null {
    if (mark_1_back === null) return null;
    if (mark_2_back === null) return `${signed(mark_1_back, 1)} marks`;
    return `${signed(mark_1_back, 1)} marks on the first scale and ${signed(mark_2_back, 1)} on the second`;
}

/** `3.1 mm inboard (standard error 0.4)`: of the length along its own direction, from both parts and their covariance. */
export function slipWords(
    row: Pick<
        Drifted,
        'slip_out_mm' | 'slip_aft_mm' | 'slip_out_std_error_mm' | 'slip_aft_std_error_mm' | 'slip_cov_mm2'
    >,
): string {
    const [out, aft] = [row.slip_out_mm ?? 0, row.slip_aft_mm ?? 0];
    const size = Math.hypot(out, aft);
    const [toOut, toAft] = size === 0 ? [1, 0] : [out / size, aft / size];
    const variance =
        (toOut * (row.slip_out_std_error_mm ?? 0)) ** 2 +
        (toAft * (row.slip_aft_std_error_mm ?? 0)) ** 2 +
        2 * toOut * toAft * (row.slip_cov_mm2 ?? 0);
    const error = Math.sqrt(Math.max(variance, 0));
    return `${plain(size, 1)} mm ${directionWords(out, aft)} (standard error ${plain(error, 1)})`;
}

function readOn({ measured_ts }: Drifted): string {
    return measured_ts === null ? '' : `, read on ${measured_ts.slice(0, 10)}`;
}

function movedWords(row: Drifted): string {
    const what = row.cause === 'mount_moved' ? `${causeWords.mount_moved},` : 'the bearing slipped';
    const seen = `${what} ${slipWords(row)}${readOn(row)}`;
    if (row.set_again_on !== null) return `${seen}; put right on ${row.set_again_on}`;
    const marks = row.cause === 'mount_moved' ? null : marksBackWords(row);
    return marks === null ? seen : `${seen}; ${marks} would put it back`;
}

/** What `words` ask to be done about a part that may be damaged. */
function inspect({ set_again_on }: Drifted): string {
    return set_again_on === null
        ? 'Have it inspected before it runs again'
        : `Set again on ${set_again_on}, which mends nothing that is bent: have it inspected before it runs again, unless it was`;
}

function bentWords(row: Drifted): string {
    const camber = row.camber_equal_toe_deg ?? row.camber_change_deg;
    const name = row.has_sai ? 'camber and included angle' : 'camber';
    const change = camber === null ? '' : `: ${name} ${signed(camber, 2)} deg`;
    return `${causeWords[row.cause!]}${change}${readOn(row)}. ${inspect(row)}`;
}

/** Changes of this size [deg] are more than play and settling; a factory allows about as much over the whole band. */
const large = { camber: 0.5, caster: 1, toe: 0.25, sai: 1 } as const;

function isLarge(row: Drifted): boolean {
    return (Object.keys(large) as (keyof typeof large)[]).some((angle) => {
        const change = Math.abs(row[`${angle}_change_deg`] ?? 0);
        return change >= large[angle] && change >= 3 * (row[`${angle}_std_error_deg`] ?? 0);
    });
}

/** Causes that lie in the measuring and not in the car. */
const measuring: readonly Cause[] = ['held', 'misread', 'reference_rolled', 'gauge_zero', 'steering_off'];

/** `words` with the day, and with the advice to inspect where the change is large and `causes` name a part of the car. */
function openWords(row: Drifted, words: string, causes: readonly Cause[]): string {
    const seen = `${words}${readOn(row)}`;
    if (isLarge(row) && causes.some((cause) => !measuring.includes(cause))) return `${seen}. ${inspect(row)}`;
    return row.set_again_on === null ? seen : `${seen}; set again on ${row.set_again_on}`;
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
            return bentWords(row);
        case 'other':
            return openWords(row, causeWords[row.cause!], [row.cause!]);
        case 'unclear': {
            const [first, second] = [row.cause!, row.next_cause!];
            const words = `cannot tell: ${causeWords[first]} (${row.p_cause!.toFixed(2)}), or ${causeWords[second]}`;
            return openWords(row, words, [first, second]);
        }
    }
}

const wholeCar: readonly Cause[] = ['cradle_moved', 'reference_rolled', 'gauge_zero'];
const bearing: readonly Cause[] = ['plate_slipped', 'mount_moved'];
const bends: readonly Cause[] = ['spindle_bent', 'strut_bent'];
const toeCauses: readonly Cause[] = ['tie_rod_turned', 'lower_arm_moved', 'steering_off', 'strut_bent'];

/** The reading that would part the two likeliest causes of an unclear corner; null for any other, and once it was set again. */
export function readingThatWouldTell(row: Drifted, read: ReadAngles): string | null {
    if (row.verdict !== 'unclear' || row.reason !== null || row.set_again_on !== null) return null;
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
