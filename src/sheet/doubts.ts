import { plateOffset } from '../stats/settings/plateSettings.js';
import { placeErrorCov, slopeChange, slopeChangeVar, spreadChangeVar } from '../stats/settings/predicted.js';
import { plain } from '../units/plain.js';
import { type Angle, angles, type Book, type Chassis, type Phase, type State, type Worth } from './book.js';
import { meanVar, placed, plateOf, stateOf, worthOf } from './present.js';
import { isReading, numberColumns, numberOf, type Row, type Visit } from './record.js';

/** What is odd about something that is typed; `value` = what may have been meant. */
export interface Doubt {
    column: (typeof numberColumns)[number];
    /** Name of the check that would find it, null where `load` would refuse the row, or nobody would notice. */
    check: string | null;
    text: string;
    value: string | null;
}

const doubt = (
    column: Doubt['column'],
    text: string,
    check: string | null = null,
    value: string | null = null,
): Doubt => ({ column, check, text, value });

type Judged = 'camber' | 'caster' | 'toe';

/** What an angle should read, with its variance (deg2). */
export interface Expectation {
    deg: number;
    var_deg2: number;
    /** Whether the reading that it starts from was taken in this visit. */
    sameVisit: boolean;
    /** Null where it is the usual car of the chassis. */
    from: State | null;
}

const phaseOrder: Record<Phase, number> = { before: 1, moved: 2, after: 3 };

/** The newest of `states` ahead of a row's own that has the angle and a known place. */
function before(states: readonly State[], row: Row, angle: Judged): State | undefined {
    return states.find(
        ({ corner, visit, phase, read, place }) =>
            corner === row.corner &&
            place !== null &&
            read[angle].deg !== null &&
            (visit !== row.visit || phaseOrder[phase] < phaseOrder[row.phase]),
    );
}

/** The same for a corner that was never read: what another car of the chassis would show there. */
function usualAngle(
    book: Book,
    { slopes, usual }: Chassis,
    row: Row,
    angle: Judged,
    { out_mm, aft_mm }: NonNullable<State['place']>,
): Expectation | null {
    const median = angle === 'toe' ? null : usual[angle];
    if (median === null) return null;
    const by = { gauge: row.gauge || null, technician: row.technician || null };
    const { one, set_up, bias, bias_var } = worthOf(book, by, angle);
    return {
        deg: median.deg + bias + slopeChange(slopes[angle], out_mm, aft_mm),
        var_deg2:
            median.var_deg2 +
            one +
            set_up +
            bias_var +
            slopeChangeVar(slopes[angle], out_mm, aft_mm) +
            spreadChangeVar(slopes[angle], out_mm, aft_mm),
        sameVisit: false,
        from: null,
    };
}

/**
 * What `angle` of `row` should read: the newest reading before it, and what a millimetre does on the way to `place`. Null where
 * there is none, and of a toe that was set in between. Within a visit by one reader, bias and set-up cancel.
 */
export function expectedAngle(
    book: Book,
    chassis: string,
    states: readonly State[],
    row: Row,
    angle: Judged,
    at: Pick<State, 'place' | 'read_error'>,
): Expectation | null {
    const from = before(states, row, angle);
    const known = book.chassis.find((one) => one.chassis === chassis);
    if (known === undefined || at.place === null) return null;
    if (angle === 'toe' && row.phase === 'after') return null;
    const slope = known.slopes[angle];
    if (from === undefined) return usualAngle(book, known, row, angle, at.place);
    const [out, aft] = [at.place.out_mm - from.place!.out_mm, at.place.aft_mm - from.place!.aft_mm];
    const moved = Math.abs(out) > 1e-3 || Math.abs(aft) > 1e-3;
    const by = { gauge: row.gauge || null, technician: row.technician || null };
    const [then, now] = [worthOf(book, from, angle), worthOf(book, by, angle)];
    const sameReader = from.gauge === by.gauge && from.technician === by.technician;
    const sameVisit = from.visit === row.visit;
    const across = (sameVisit && sameReader ? 0 : 1) * (then.set_up + now.set_up);
    const step = sameReader ? 0 : then.bias_var + now.bias_var;
    const placeVar = moved
        ? placeErrorCov(slope, slope, from.read_error!) + placeErrorCov(slope, slope, at.read_error!)
        : 0;
    const [toeThen, toeNow] = [from.read.toe.deg, numberOf(row.typed.toe_deg)];
    const caster =
        from.read.caster.deg ??
        states.find(({ corner, read }) => corner === row.corner && read.caster.deg !== null)?.read.caster.deg;
    const ofToe =
        angle === 'camber' && caster !== undefined && caster !== null && toeThen !== null && toeNow !== null
            ? Math.tan((caster * Math.PI) / 180) * (toeNow - toeThen)
            : 0;
    return {
        deg: from.read[angle].deg! - then.bias + now.bias + slopeChange(slope, out, aft) - ofToe,
        var_deg2:
            meanVar(then, from.read[angle].count) +
            now.one +
            across +
            step +
            slopeChangeVar(slope, out, aft) +
            spreadChangeVar(slope, out, aft) +
            placeVar,
        sameVisit,
        from,
    };
}

/** Degrees that are meant by degrees.minutes; null where the digits after the point are over .59 (sql/functions/940). */
export function fromMinutes(value: number): number | null {
    const size = Math.abs(value);
    const whole = Math.floor(size + 1e-9);
    const minutes = Math.round((size - whole) * 1e8) / 1e6;
    return minutes < 59.5 ? Math.sign(value) * (whole + minutes / 60) : null;
}

/** Odds 1 : 100 ahead of the reading, as the checks have them (from memory), as a gain in squared standard errors. */
const PRIOR_GAIN = 2 * Math.log(100);

/** Squared standard errors from which on a reading is taken as moved, 1 in 1,000 by chance. */
const FAR = 3.29 * 3.29;

const square = ({ deg, var_deg2 }: Expectation, value: number) => ((value - deg) * (value - deg)) / var_deg2;

/** What else a number may mean, by the check that looks for it. */
function otherMeanings(angle: Judged, value: number): { check: string | null; value: number }[] {
    const minutes = angle === 'toe' ? null : fromMinutes(value);
    return [
        { check: angle === 'camber' ? 'lost_camber_sign' : null, value: -value },
        ...(minutes === null || minutes === value ? [] : [{ check: 'minutes_as_decimals', value: minutes }]),
        ...(angle === 'toe' ? [{ check: 'toe_total_as_wheel', value: value / 2 }] : []),
    ];
}

/** No check looks for it: in a file, side and sign are told apart by other rows. */
const OTHER_SIGN = 'it fits with the other sign, as if it were of the other side';

const two = (value: number) => value.toFixed(2);

/** What the car and the marks say against an angle as typed. */
function angleDoubt(book: Book, expectation: Expectation, row: Row, angle: Judged): Doubt | null {
    const column = `${angle}_deg` as const;
    const value = numberOf(row.typed[column])!;
    const asTyped = square(expectation, value);
    if (asTyped < PRIOR_GAIN) return null;
    const [meant] = otherMeanings(angle, value)
        .map((one) => ({ ...one, square: square(expectation, one.value) }))
        .filter((one) => asTyped - one.square > PRIOR_GAIN && one.square < FAR)
        .sort((a, b) => a.square - b.square);
    if (meant !== undefined) {
        const words = meant.check === null ? OTHER_SIGN : book.checks[meant.check]!.likely;
        return doubt(column, `${angle} ${two(value)}: ${words}`, meant.check, two(meant.value));
    }
    if (asTyped < FAR) return null;
    const half = 1.96 * Math.sqrt(expectation.var_deg2);
    const range = `${two(expectation.deg - half)} to ${two(expectation.deg + half)}`;
    if (expectation.from === null) {
        return doubt(
            column,
            `${angle} ${two(value)}: other cars of the chassis read ${range} at these marks`,
        );
    }
    if (!expectation.sameVisit) {
        const gap = value - expectation.deg;
        const since = expectation.from.on ?? expectation.from.visit;
        return doubt(
            column,
            `moved since ${since}? ${angle} ${two(value)}, ${two(Math.abs(gap))} ${gap > 0 ? 'more positive' : 'more negative'} than ${two(expectation.deg)} (${range}) at these marks`,
        );
    }
    const { likely } = book.checks.downweighted_moves!;
    return doubt(column, `${angle} ${two(value)}, expected ${range}: ${likely}`, 'downweighted_moves');
}

/** Whether camber and caster fit another bolt position, hand or sign of the mark than typed. */
function placeDoubt(
    book: Book,
    visit: Visit,
    states: readonly State[],
    row: Row,
    at: ReturnType<typeof placed>,
): Doubt | null {
    const plate = plateOf(book, row.kit || null, visit.chassis);
    const values = (['camber', 'caster'] as const).map(
        (angle) => [angle, numberOf(row.typed[`${angle}_deg`])] as const,
    );
    if (plate === undefined || at.place === null || values.some(([, value]) => value === null)) return null;
    // Between visits a slip is likelier than a wrong bolt position.
    if (expectedAngle(book, visit.chassis, states, row, 'camber', at)?.sameVisit !== true) return null;
    const misfit = (place: State['place']) => {
        const squares = values.map(([angle, value]) => {
            const expectation = expectedAngle(book, visit.chassis, states, row, angle, { ...at, place });
            return expectation === null ? null : square(expectation, value!);
        });
        return squares.some((one) => one === null)
            ? null
            : squares.reduce((sum: number, one) => sum + one!, 0);
    };
    const asTyped = misfit(at.place);
    if (asTyped === null || asTyped < PRIOR_GAIN) return null;
    const own = row.corner.endsWith('L') ? 'left' : 'right';
    const tried = (['left', 'right'] as const).flatMap((hand) =>
        Array.from({ length: plate.index_count }, (_, i) => i + 1).flatMap((index) =>
            [1, -1].map((sign) => ({ hand, index, sign })),
        ),
    );
    const [best] = tried
        .filter(({ hand, index, sign }) => hand !== at.plate_hand || index !== at.plate_index || sign < 0)
        .flatMap(({ hand, index, sign }) => {
            const [first, second] = [at.mark_1! * sign, at.mark_2! * sign];
            if (first < plate.mark_min || first > plate.mark_max || (sign < 0 && first === 0)) return [];
            const found = misfit(plateOffset(plate, index, hand !== own, first, second));
            return found === null ? [] : [{ hand, index, sign, square: found }];
        })
        .sort((a, b) => a.square - b.square);
    if (best === undefined || asTyped - best.square < PRIOR_GAIN || best.square > 1.2 * FAR) return null;
    const { likely } = book.checks.wrong_placement!;
    const fits =
        best.sign < 0 ? 'the other sign of the marks' : `index ${best.index} with the ${best.hand} plate`;
    return doubt('plate_index', `the angles fit ${fits}: ${likely}`, 'wrong_placement');
}

/** Whether left and right of a state fit better exchanged. */
function sidesDoubt(
    book: Book,
    visit: Visit,
    states: readonly State[],
    rows: readonly Row[],
    row: Row,
): Doubt | null {
    const other = rows.find(
        (one) =>
            one.visit === row.visit &&
            one.phase === row.phase &&
            one.repeat === row.repeat &&
            one.corner === (row.corner === 'FL' ? 'FR' : 'FL'),
    );
    const [own, across] = [numberOf(row.typed.camber_deg), numberOf(other?.typed.camber_deg)];
    if (other === undefined || own === null || across === null) return null;
    const at = [row, other].map((one) =>
        expectedAngle(book, visit.chassis, states, one, 'camber', placed(book, visit.chassis, one)),
    ) as [Expectation | null, Expectation | null];
    if (at[0] === null || at[1] === null) return null;
    const asTyped = square(at[0], own) + square(at[1], across);
    const exchanged = square(at[0], across) + square(at[1], own);
    if (asTyped - exchanged < PRIOR_GAIN || exchanged > 1.5 * FAR) return null;
    return doubt('camber_deg', book.checks.swapped_sides!.likely, 'swapped_sides');
}

function rangeDoubts(book: Book, visit: Visit, row: Row): Doubt[] {
    const typed = { ...visit.conditions, ...row.typed };
    return numberColumns.flatMap((column) => {
        const value = numberOf(typed[column]);
        const { min, max, beyond } = book.columns[column]!;
        const within = value === null || (value >= min && value <= max);
        const whole = column !== 'plate_index' || value === null || Number.isInteger(value);
        if (within && whole) return [];
        return [doubt(column, beyond.replace('{value}', typed[column]!))];
    });
}

function scaleDoubts(book: Book, visit: Visit, row: Row): Doubt[] {
    const plate = plateOf(book, row.kit || null, visit.chassis);
    if (plate === undefined) return [];
    const [index, first, second] = [row.typed.plate_index, row.typed.mark_1, row.typed.mark_2].map(numberOf);
    const { marks_beyond_scale, index_over_count } = book.checks;
    const scale = (column: 'mark_1' | 'mark_2', value: number, low: number, high: number): Doubt[] => {
        if (value >= low && value <= high) return [];
        const name = column === 'mark_1' ? 'mark' : '2nd mark';
        const text = `${name} ${plain(value, 2)}, the scale of kit ${row.kit} goes from ${low} to ${high}: ${marks_beyond_scale!.likely}`;
        const isOtherSign = -value >= low && -value <= high;
        return [doubt(column, text, 'marks_beyond_scale', isOtherSign ? plain(-value, 2) : null)];
    };
    return [
        ...(index !== null && index! > plate.index_count
            ? [
                  doubt(
                      'plate_index',
                      `kit ${row.kit} has ${plate.index_count} positions: ${index_over_count!.likely}`,
                      'index_over_count',
                  ),
              ]
            : []),
        ...(first === null ? [] : scale('mark_1', first!, plate.mark_min, plate.mark_max)),
        ...(second === null || !plate.two_scales
            ? []
            : scale('mark_2', second!, plate.mark2_min, plate.mark2_max)),
    ];
}

/** Mean and spread of the repeats of a state in one angle. */
export interface Repeats {
    angle: Angle;
    count: number;
    mean_deg: number;
    sd_deg: number;
    /** Of one reading by this gauge and person. */
    own_sd_deg: number;
    /** Beyond what 99 of 100 such sets show. */
    wide: boolean;
}

/** The repeats of one state; angles that were read more than once. Sample standard deviation, divisor n - 1. */
export function repeatsOf(book: Book, visit: Visit, rows: readonly Row[]): Repeats[] {
    const state = stateOf(book, visit, rows);
    if (state === undefined) return [];
    return angles.flatMap((angle): Repeats[] => {
        const values = rows
            .map((row) => numberOf(row.typed[`${angle}_deg`]))
            .filter((value) => value !== null);
        const { deg, count } = state.read[angle];
        if (count < 2) return [];
        const squares = values.reduce((sum, value) => sum + (value - deg!) * (value - deg!), 0);
        const worth: Worth = worthOf(book, state, angle);
        return [
            {
                angle,
                count,
                mean_deg: deg!,
                sd_deg: Math.sqrt(squares / (count - 1)),
                own_sd_deg: Math.sqrt(worth.one),
                wide: squares / worth.one > (book.spread[Math.min(count - 1, book.spread.length) - 1] ?? 0),
            },
        ];
    });
}

function repeatDoubts(book: Book, visit: Visit, rows: readonly Row[], row: Row): Doubt[] {
    const own = rows.filter(
        ({ visit: id, phase, corner }) => id === row.visit && phase === row.phase && corner === row.corner,
    );
    return repeatsOf(book, visit, own)
        .filter(({ wide }) => wide)
        .map(({ angle, sd_deg, own_sd_deg, count }) =>
            doubt(
                `${angle}_deg`,
                `${count} readings of ${angle} spread by ${two(sd_deg)} deg, this gauge by ${two(own_sd_deg)}: read it again`,
            ),
        );
}

/** What is odd about `row`, the surest first; `states` of the car newest first, `rows` all that was typed. */
export function doubtsOf(
    book: Book,
    visit: Visit,
    states: readonly State[],
    rows: readonly Row[],
    row: Row,
): Doubt[] {
    const ranges = [...rangeDoubts(book, visit, row), ...scaleDoubts(book, visit, row)];
    if (ranges.length > 0 || !isReading(row) || !row.corner.startsWith('F')) return ranges;
    const at = placed(book, visit.chassis, row);
    const own = sidesDoubt(book, visit, states, rows, row) ?? placeDoubt(book, visit, states, row, at);
    const single = (['camber', 'caster', 'toe'] as const).flatMap((angle) => {
        if (numberOf(row.typed[`${angle}_deg`]) === null) return [];
        const expectation = expectedAngle(book, visit.chassis, states, row, angle, at);
        return (expectation === null ? null : angleDoubt(book, expectation, row, angle)) ?? [];
    });
    const meant = single.filter(({ value }) => value !== null);
    const rest = single.filter(({ value }) => value === null);
    return [
        ...meant,
        ...(meant.length === 0 && own !== null ? [own] : []),
        ...rest,
        ...repeatDoubts(book, visit, rows, row),
    ];
}
