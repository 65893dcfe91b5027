import { type CauseName, causeNamed, causes } from '../stats/drift/causes/index.js';
import { capital } from './capital.js';
import { directionWords } from './directionWords.js';
import { plain } from './plain.js';
import { signed } from './signed.js';

export type Cause = CauseName;

type Numbers<Names extends string> = Record<Names, number | null>;

/** How far a bearing moved, with the covariance of both parts. */
export type Slip = Numbers<`slip_${'out' | 'aft'}_${'' | 'std_error_'}mm` | 'slip_cov_mm2'>;

/** Changes by angle: as read, by the whole record of the car, and the standard error of the latter. */
type Changes = Numbers<`${'camber' | 'caster' | 'toe' | 'sai'}_${'change' | 'judged' | 'std_error'}_deg`>;

/** What the words below need of a row of `drift`. */
export interface Drifted extends Slip, Changes {
    verdict: 'held' | 'plate_moved' | 'bent' | 'other' | 'unclear';
    cause: Cause | null;
    p_cause: number | null;
    next_cause: Cause | null;
    reason: string | null;
    /** When the corner was read after the session. */
    measured_ts: string | null;
    /** Day of the first later visit that set the corner. */
    set_again_on: string | null;
    /** Day on which it was found put right without a record, before anything else ran. */
    put_right_on: string | null;
    /** Slips of this corner that were named before. */
    earlier_slip_count: number;
    /** All runs between the two readings, where the visit's own did not stand alone. */
    sessions: string | null;
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
function marksBackWords({ mark_1_back, mark_2_back }: Drifted): string | null {
    if (mark_1_back === null) return null;
    if (mark_2_back === null) return `${signed(mark_1_back, 1)} marks`;
    return `${signed(mark_1_back, 1)} marks on the first scale and ${signed(mark_2_back, 1)} on the second`;
}

/** `3.1 mm inboard (standard error 0.4)`: of the length along its own direction, from both parts and their covariance. */
export function slipWords(row: Slip): string {
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

function readOn({ measured_ts, sessions }: Drifted): string {
    const over = sessions === null ? '' : `, over ${sessions}`;
    return measured_ts === null ? over : `${over}, read on ${measured_ts.slice(0, 10)}`;
}

/** What has closed it first, without the cause; null where nothing has. */
function closedBy({ set_again_on, put_right_on }: Drifted): string | null {
    if (put_right_on !== null && (set_again_on === null || put_right_on < set_again_on))
        return `found put right on ${put_right_on}, without a record`;
    return set_again_on === null ? null : `closed by the setting of ${set_again_on}`;
}

/** What is called for before the car runs; put back is not the same as explained. */
function stop(row: Drifted): string {
    const closed = closedBy(row);
    return closed === null
        ? 'Do not run it until it has been inspected'
        : `${capital(closed)}, cause not recorded, and setting mends nothing that is bent: do not run it until it has been inspected, unless it was`;
}

/** A slip is a clamp that failed, and comes before the marks that would put it back. */
const clamp =
    'A slip is a clamp that failed: inspect fasteners and clamp faces, renew single-use parts, tighten as the vehicle maker says, mark again, read again';

function movedWords(row: Drifted): string {
    const what = row.cause === 'mount_moved' ? `${causeNamed('mount_moved').words},` : 'the bearing slipped';
    const seen = `${what} ${slipWords(row)}${readOn(row)}`;
    const again = row.earlier_slip_count === 0 ? '' : `, slip ${row.earlier_slip_count + 1} of this corner`;
    const closed = closedBy(row);
    if (row.earlier_slip_count > 0 && closed === null)
        return `${seen}${again}. Do not run it until it has been inspected. ${clamp}`;
    if (closed !== null) return `${seen}${again}; ${closed}, cause not recorded`;
    const marks = row.cause === 'mount_moved' ? null : marksBackWords(row);
    return marks === null ? `${seen}. ${clamp}` : `${seen}. ${clamp}; then ${marks} would put it back`;
}

function bentWords(row: Drifted): string {
    const { camber_judged_deg: camber, sai_judged_deg: sai } = row;
    const moved = camber === null ? '' : `: camber ${signed(camber, 2)} deg`;
    const included =
        camber === null || sai === null || row.cause === 'struck'
            ? ''
            : `, included angle ${signed(camber + sai, 2)} deg`;
    return `${causeNamed(row.cause!).words}${moved}${included}${readOn(row)}. ${stop(row)}`;
}

/** Changes of this size [deg] are more than play and settling; a factory allows about as much over the whole band. */
const large = { camber: 0.5, caster: 1, toe: 0.25, sai: 1 } as const;

function isLarge(row: Drifted): boolean {
    return (Object.keys(large) as (keyof typeof large)[]).some((angle) => {
        const change = Math.abs(row[`${angle}_judged_deg`] ?? 0);
        return change >= large[angle] && change >= 3 * (row[`${angle}_std_error_deg`] ?? 0);
    });
}

/** Whether one of `names` is a part of the car, and not the measuring or how the car stood. */
const ofCar = (names: readonly Cause[]) =>
    names.some((name) => name !== 'held' && !causeNamed(name).ofMeasuring);

/** `words` with the day, and with the order not to run it where a cause that is named asks for it, or the change is large and of the car. */
function openWords(row: Drifted, words: string, names: readonly Cause[], isNamed: boolean): string {
    const seen = `${words}${readOn(row)}`;
    const asked = isNamed && names.some((name) => causeNamed(name).stop);
    if (asked || (isLarge(row) && ofCar(names))) return `${seen}. ${stop(row)}`;
    const closed = closedBy(row);
    return closed === null ? seen : `${seen}; ${closed}`;
}

/** Whether something is still to be done: the car may have moved, and nothing has set the corner since. */
export function isOpen(row: Drifted): boolean {
    if (row.reason !== null || row.verdict === 'held' || closedBy(row) !== null) return false;
    const named = row.verdict === 'unclear' ? [row.cause!, row.next_cause!] : [row.cause!];
    return row.verdict === 'unclear' || ofCar(named);
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
            return openWords(row, causeNamed(row.cause!).words, [row.cause!], true);
        case 'unclear': {
            const [first, second] = [row.cause!, row.next_cause!];
            const words = `cannot tell: ${causeNamed(first).words} (${row.p_cause!.toFixed(2)}), or ${causeNamed(second).words}`;
            return openWords(row, words, [first, second], false);
        }
    }
}

const carCause = (name: Cause) => causeNamed(name).level === 'car' && name !== 'steering_off';
const wholeCar: readonly Cause[] = causes.flatMap(({ name }) => (carCause(name) ? [name] : []));
const bearing: readonly Cause[] = ['plate_slipped', 'mount_moved'];
const bends: readonly Cause[] = ['spindle_bent', 'strut_bent', 'struck'];
const toeCauses: readonly Cause[] = ['tie_rod_turned', 'lower_arm_moved', 'steering_off', 'strut_bent'];

/** The reading that would part the two likeliest causes of an unclear corner; null for any other, and once it was set again. */
export function readingThatWouldTell(row: Drifted, read: ReadAngles): string | null {
    if (row.verdict !== 'unclear' || row.reason !== null || closedBy(row) !== null) return null;
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
