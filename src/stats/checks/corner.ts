import type { Row, Value } from '../tables/batch.js';
import type { Measure } from './densities.js';
import type { Finding, Records, Whole } from './finding.js';
import type { Origin } from './sources.js';

/** Places that are not known, angles that were not read and what they would have made are NaN here, so that sums of them are too. */
type Numbers = readonly number[];

/** How an angle follows the bearing (deg/mm), with its covariance (deg2/mm2). Tuples: V8 boxes each number of an object. */
export type Slope = readonly [out: number, aft: number, varOut: number, varAft: number, covOutAft: number];

/** A place of the bearing or a move of it (mm), with the covariance of what is read of it (mm2). */
export type Place = readonly [out: number, aft: number, oo: number, oa: number, aa: number];

export const moveBetween = (from: Place, to: Place): Place => [
    to[0] - from[0],
    to[1] - from[1],
    from[2] + to[2],
    from[3] + to[3],
    from[4] + to[4],
];

/** What a change of an angle leaves over that the move does not explain (deg); of an angle at a place, what it would be at offset 0. */
export const residual = (change_deg: number, slope: Slope, move: Place): number =>
    change_deg - slope[0] * move[0] - slope[1] * move[1];

/** The variance (deg2) of what the move explains. */
export const moveVariance = (slope: Slope, move: Place): number =>
    slope[2] * move[0] * move[0] +
    2 * slope[4] * move[0] * move[1] +
    slope[3] * move[1] * move[1] +
    slope[0] * slope[0] * move[2] +
    2 * slope[0] * slope[1] * move[3] +
    slope[1] * slope[1] * move[4];

export const phases = ['before', 'moved', 'after'] as const;
export const angles = ['camber', 'caster', 'sai'] as const;

type Read<T> = (row: number) => T;

/** Columns by their names, or how to read some of them by the number of the row; nulls where the query leaves one out. */
export function columnsOf({ names, columns }: Records) {
    const { length } = columns[0]!;
    const values = <T extends Value>(name: string) =>
        (columns[names.indexOf(name)] ?? new Array(length).fill(null)) as ArrayLike<T>;
    const number = (name: string) =>
        (columns[names.indexOf(name)] ?? new Float64Array(length).fill(Number.NaN)) as Float64Array;
    const numbers = <T extends Numbers>(list: readonly string[]): Read<T> => {
        const all = list.map(number);
        return (row) => {
            const found: number[] = [];
            for (let i = 0; i < all.length; i++) found.push(all[i]![row]!);
            return found as Numbers as T;
        };
    };
    /** Those of these angles, the same for rows of one vehicle in sequence. */
    const slopes = (angles: readonly string[]): Read<readonly Slope[]> => {
        const [chassis, vehicle] = [values('chassis'), values('vehicle')];
        const read = angles.map((angle) =>
            numbers<Slope>(
                ['slope_out', 'slope_aft', 'var_out', 'var_aft', 'cov_out_aft'].map(
                    (name) => `${angle}_${name}`,
                ),
            ),
        );
        let first = -1;
        let found: readonly Slope[] = [];
        return (row) => {
            if (first < 0 || vehicle[row] !== vehicle[first] || chassis[row] !== chassis[first]) {
                first = row;
                found = read.map((one) => one(row));
            }
            return found;
        };
    };
    return { length, values, number, numbers, slopes };
}

/** Reads where the rows of a query come from. */
export function originsIn({ values, number }: ReturnType<typeof columnsOf>): Read<Origin> {
    const [chassis, vehicle] = [values<string>('chassis'), values<string>('vehicle')];
    const [visit, file] = [values<string>('visit'), values<string>('source_file')];
    const [technician, gauge] = [values<string | null>('technician'), values<string | null>('gauge')];
    const line = number('source_line');
    return (row) => ({
        chassis: chassis[row]!,
        vehicle: vehicle[row]!,
        visit: visit[row]!,
        file: file[row]!,
        line: line[row]!,
        technician: technician[row]!,
        gauge: gauge[row]!,
    });
}

/** What is read of a corner in one phase. */
function stateColumns(
    { values, number, numbers }: ReturnType<typeof columnsOf>,
    phase: (typeof phases)[number],
) {
    const place = ['out_mm', 'aft_mm', 'error_oo_mm2', 'error_oa_mm2', 'error_aa_mm2'];
    return {
        phase,
        place: numbers<Place>(place.map((name) => `${phase}_${name}`)),
        kit: values<string | null>(`${phase}_kit`),
        hand: values<string | null>(`${phase}_plate_hand`),
        file: values<string | null>(`${phase}_source_file`),
        line: number(`${phase}_source_line`),
        index: number(`${phase}_plate_index`),
        mark_1: number(`${phase}_mark_1`),
        mark_2: number(`${phase}_mark_2`),
        camberRead: number(`${phase}_camber_read_deg`),
    };
}

/** A corner in one phase. No names with #: to make an object with them takes V8 longer. */
export class State {
    readonly kit: string | null;
    readonly place: Place;
    private readonly columns: ReturnType<typeof stateColumns>;
    private readonly row: number;

    constructor(columns: ReturnType<typeof stateColumns>, row: number) {
        this.kit = columns.kit[row]!;
        const [out, aft, oo, oa, aa] = columns.place(row);
        // A rear wheel stays where it is, whatever its plate.
        this.place = [out, aft, oo || 0, oa || 0, aa || 0];
        this.columns = columns;
        this.row = row;
    }

    get phase() {
        return this.columns.phase;
    }
    get hand() {
        return this.columns.hand[this.row]!;
    }
    get file() {
        return this.columns.file[this.row]!;
    }
    get line() {
        return this.columns.line[this.row]!;
    }
    get index() {
        return this.columns.index[this.row]!;
    }
    get mark_1() {
        return this.columns.mark_1[this.row]!;
    }
    get mark_2() {
        return this.columns.mark_2[this.row]!;
    }
    get camberRead() {
        return this.columns.camberRead[this.row]!;
    }
}

/** The record of a corner in a visit, a row of `car_corners`. Lists are by angle or by phase and then angle. */
export interface Corner {
    chassis: string;
    vehicle: string;
    corner: string;
    visit: string;
    states: readonly State[];
    slopes: readonly Slope[];
    deg: Numbers;
    variances: Numbers;
    /** What its other visits read at offset 0, and the variance of this visit's mean about that, reading noise of this visit left out. */
    others: Numbers;
    otherVariances: Numbers;
}

/** Ordinary variances between visits and mounts, by angle, and of camber between the sides (deg2). */
export function spreadsIn([row]: readonly Row[]) {
    const by = (suffix: string) => angles.map((angle) => row![`${angle}_${suffix}`] as number);
    return {
        visit: by('visit_var_deg2'),
        mount: by('mount_var_deg2'),
        camberSide: row!.camber_side_var_deg2 as number,
    };
}

/** Reads the records of a batch. */
function cornersIn(records: Records): Read<Corner> {
    const columns = columnsOf(records);
    const { values, numbers, slopes: slopesOf } = columns;
    const each = (suffix: string) => numbers(angles.map((angle) => `${angle}_${suffix}`));
    const inPhases = (suffix: string) =>
        numbers(phases.flatMap((phase) => angles.map((angle) => `${phase}_${angle}_${suffix}`)));
    const [chassis, vehicle] = [values<string>('chassis'), values<string>('vehicle')];
    const [corner, visit] = [values<string>('corner'), values<string>('visit')];
    const states = phases.map((phase) => stateColumns(columns, phase));
    const slopes = slopesOf(angles);
    const [deg, variances] = [inPhases('deg'), inPhases('var_deg2')];
    const [others, otherVariances] = [each('other_deg'), each('other_var_deg2')];
    return (row) => ({
        chassis: chassis[row]!,
        vehicle: vehicle[row]!,
        corner: corner[row]!,
        visit: visit[row]!,
        states: states.map((of) => new State(of, row)),
        slopes: slopes(row),
        deg: deg(row),
        variances: variances(row),
        others: others(row),
        otherVariances: otherVariances(row),
    });
}

/** A check of the corners of a car, which come in order of their visits; first it is given whole tables. */
export type CarCheck = (whole: Whole) => (corners: readonly Corner[]) => Iterable<Finding>;

/** The corners of each car. By batch, to be read to the end: an iteration that waits for each takes longer than most of them. */
export async function* carsIn(batches: AsyncIterable<Records>): AsyncIterable<Iterable<Corner[]>> {
    let car: Corner[] = [];
    function* wholeIn(records: Records) {
        const read = cornersIn(records);
        for (let row = 0; row < records.columns[0]!.length; row++) {
            const corner = read(row);
            if (car.length > 0 && car[0]!.vehicle !== corner.vehicle) {
                yield car;
                car = [];
            }
            car.push(corner);
        }
    }
    for await (const records of batches) yield wholeIn(records);
    if (car.length > 0) yield [car];
}

/** The pairs of states that are compared, by their numbers. */
export const earlier = [0, 0, 1];
export const later = [1, 2, 2];
/** The state of each of three angles, by phase and angle. */
export const stateOf = [0, 0, 0, 1, 1, 1, 2, 2, 2];

/** Variances (deg2) from reading of the changes between the states of each pair, by angle; `mount`: what another kit adds. */
export function readVariances({ states, variances, slopes }: Corner, mount: Numbers): number[] {
    const found: number[] = [];
    const { length } = slopes;
    for (let pair = 0; pair < 3; pair++) {
        const from = earlier[pair]!;
        const to = later[pair]!;
        const sameKit = states[from]!.kit === states[to]!.kit;
        for (let angle = 0; angle < length; angle++)
            found.push(
                variances[length * from + angle]! +
                    variances[length * to + angle]! +
                    (sameKit ? 0 : mount[angle]!),
            );
    }
    return found;
}

/** Changes between the levels of the states of each pair. */
export function changesOf(levels: Numbers): number[] {
    const found: number[] = [];
    const length = levels.length / 3;
    for (let pair = 0; pair < 3; pair++) {
        for (let angle = 0; angle < length; angle++)
            found.push(levels[length * later[pair]! + angle]! - levels[length * earlier[pair]! + angle]!);
    }
    return found;
}

/** What the angles of each state would be at offset 0. */
export function levelsOf({ deg, slopes }: Corner, states: readonly Pick<State, 'place'>[]): number[] {
    const found: number[] = [];
    for (const { place } of states)
        for (const slope of slopes) found.push(residual(deg[found.length]!, slope, place));
    return found;
}

/** A whole number of millionths, halves away from zero. */
export const micro = (x: number): number => (x < 0 ? -Math.round(-x * 1e6) : Math.round(x * 1e6));

/** The mean of `values` over the states that have this angle, exact to a millionth, and their number. */
function meanThere(levels: Numbers, values: Numbers, angle: number) {
    let sum = 0;
    let count = 0;
    for (let i = angle; i < levels.length; i += levels.length / 3) {
        if (Number.isNaN(levels[i]!)) continue;
        sum += micro(values[i]!);
        count++;
    }
    return { mean: sum / count / 1e6, count };
}

/** The mean of an angle over the three states, exact to a millionth; NaN where it is in none. */
export const meanOf = (levels: Numbers, angle: number): number => meanThere(levels, levels, angle).mean;

/** Variance from reading of that mean. */
export function meanVariance(levels: Numbers, variances: Numbers, angle: number): number {
    const { mean, count } = meanThere(levels, variances, angle);
    return mean / count;
}

/** Whether any of the angles of a state or change is there, `length` of them. */
export function isThere(numbers: ArrayLike<number>, at: number, length = 3): boolean {
    for (let i = at * length; i < (at + 1) * length; i++) if (!Number.isNaN(numbers[i]!)) return true;
    return false;
}

/** The weight of the changes between three states: three changes hold the information of two. */
export const shareOf = (numbers: ArrayLike<number>, length = 3): number =>
    isThere(numbers, 0, length) && isThere(numbers, 1, length) && isThere(numbers, 2, length) ? 2 / 3 : 1;

/** Residuals and variances of three changes and of the visit against others, by angle. */
export interface Fit {
    residuals: ArrayLike<number>;
    variances: ArrayLike<number>;
    share: number;
}

/** The sum of a measure over the comparisons of a visit. */
export function sumOf(measure: Measure, { residuals, variances, share }: Fit): number {
    const length = residuals.length / 4;
    return (
        share *
            (measure(residuals, variances, 0, length) +
                measure(residuals, variances, length, 2 * length) +
                measure(residuals, variances, 2 * length, 3 * length)) +
        measure(residuals, variances, 3 * length, 4 * length)
    );
}

/** How well the levels of a visit fit each other and what other visits read: changes, and means against theirs. */
export class VisitFit {
    private readonly others: Numbers;
    private readonly variances: number[];
    private readonly share: number;

    constructor(corner: Corner, levels: Numbers, mount: Numbers) {
        const { states, slopes, variances, others, otherVariances } = corner;
        this.others = others;
        const { length } = slopes;
        this.share = shareOf(levels, length);
        this.variances = readVariances(corner, mount);
        for (let pair = 0; pair < 3; pair++) {
            const move = moveBetween(states[earlier[pair]!]!.place, states[later[pair]!]!.place);
            for (let angle = 0; angle < length; angle++)
                this.variances[length * pair + angle]! += moveVariance(slopes[angle]!, move);
        }
        for (let angle = 0; angle < length; angle++)
            this.variances.push(meanVariance(levels, variances, angle) + otherVariances[angle]!);
    }

    sum(measure: Measure, levels: Numbers): number {
        const residuals = changesOf(levels);
        for (let angle = 0; angle < this.others.length; angle++)
            residuals.push(meanOf(levels, angle) - this.others[angle]!);
        return sumOf(measure, { residuals, variances: this.variances, share: this.share });
    }
}

/** The first of `states` by file and line. */
export const firstLine = (states: readonly State[]): State =>
    states.reduce((first, one) =>
        one.file! < first.file! || (one.file === first.file && one.line < first.line) ? one : first,
    );
