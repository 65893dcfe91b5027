import type { Batch, Value } from '../tables/batch.js';
import type { Measure } from './densities.js';

/** Places that are not known, angles that were not read and what they would have made are NaN here, so that sums of them are too. */
type Numbers = readonly number[];

/** How an angle follows the bearing (deg/mm), with its covariance (deg2/mm2). */
export interface Slope {
    out: number;
    aft: number;
    varOut: number;
    varAft: number;
    covOutAft: number;
}

/** A place of the bearing or a move of it (mm), with the covariance of what is read of it (mm2). */
export interface Place {
    out: number;
    aft: number;
    oo: number;
    oa: number;
    aa: number;
}

export const moveBetween = (from: Place, to: Place): Place => ({
    out: to.out - from.out,
    aft: to.aft - from.aft,
    oo: from.oo + to.oo,
    oa: from.oa + to.oa,
    aa: from.aa + to.aa,
});

/** What a change of an angle leaves over that the move does not explain (deg); of an angle at a place, what it would be at offset 0. */
export const residual = (change_deg: number, slope: Slope, move: Place): number =>
    change_deg - slope.out * move.out - slope.aft * move.aft;

/** The variance (deg2) of what the move explains. */
export const moveVariance = (slope: Slope, { out, aft, oo, oa, aa }: Place): number =>
    slope.varOut * out * out +
    2 * slope.covOutAft * out * aft +
    slope.varAft * aft * aft +
    slope.out * slope.out * oo +
    2 * slope.out * slope.aft * oa +
    slope.aft * slope.aft * aa;

export const phases = ['before', 'moved', 'after'] as const;
export const angles = ['camber', 'caster', 'sai'] as const;

/** A corner in one phase. */
export interface State {
    phase: (typeof phases)[number];
    kit: string | null;
    index: number | null;
    hand: string | null;
    mark_1: number | null;
    mark_2: number | null;
    place: Place;
    camberRead: number;
    file: string | null;
    line: number | null;
}

/** The record of a corner in a visit, a row of a check's query. Lists are by angle, or by phase and then angle. */
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
    visitVariances: Numbers;
    mountVariances: Numbers;
    camberSideVariance: number;
}

type Read<T> = (row: number) => T;

/** Reads columns of a batch by the number of the row; null where the query leaves one out. */
export function columnsOf({ names, columns }: Batch) {
    const blank: Value[] = [];
    const column = (name: string) => (columns[names.indexOf(name)] ?? blank) as readonly Value[];
    const value = <T extends Value>(name: string): Read<T> => {
        const cells = column(name);
        return (row) => (cells[row] ?? null) as T;
    };
    const number = (name: string): Read<number> => {
        const cells = column(name) as readonly (number | null)[];
        return (row) => cells[row] ?? Number.NaN;
    };
    const numbers = (list: readonly string[]): Read<Numbers> => {
        const all = list.map(column) as (readonly (number | null)[])[];
        return (row) => {
            const found: number[] = [];
            for (let i = 0; i < all.length; i++) found.push(all[i]![row] ?? Number.NaN);
            return found;
        };
    };
    const slope = (angle: string): Read<Slope> => {
        const read = numbers(
            ['slope_out', 'slope_aft', 'var_out', 'var_aft', 'cov_out_aft'].map((name) => `${angle}_${name}`),
        );
        return (row) => {
            const found = read(row);
            return {
                out: found[0]!,
                aft: found[1]!,
                varOut: found[2]!,
                varAft: found[3]!,
                covOutAft: found[4]!,
            };
        };
    };
    return { value, number, numbers, slope };
}

/** Reads where the rows of a batch come from. */
export function originsIn({ value }: ReturnType<typeof columnsOf>) {
    const [chassis, vehicle, visit] = [
        value<string>('chassis'),
        value<string>('vehicle'),
        value<string>('visit'),
    ];
    const [file, line] = [value<string>('source_file'), value<number>('source_line')];
    return (row: number) => ({
        chassis: chassis(row),
        vehicle: vehicle(row),
        visit: visit(row),
        file: file(row),
        line: line(row),
    });
}

function statesIn(batch: Batch): Read<State[]> {
    const { value, number, numbers } = columnsOf(batch);
    const readers = phases.map((phase): Read<State> => {
        const kit = value<string | null>(`${phase}_kit`);
        const index = value<number | null>(`${phase}_plate_index`);
        const hand = value<string | null>(`${phase}_plate_hand`);
        const mark_1 = value<number | null>(`${phase}_mark_1`);
        const mark_2 = value<number | null>(`${phase}_mark_2`);
        const file = value<string | null>(`${phase}_source_file`);
        const line = value<number | null>(`${phase}_source_line`);
        const camberRead = number(`${phase}_camber_read_deg`);
        const place = numbers(
            ['out_mm', 'aft_mm', 'error_oo_mm2', 'error_oa_mm2', 'error_aa_mm2'].map(
                (name) => `${phase}_${name}`,
            ),
        );
        return (row) => {
            const at = place(row);
            return {
                phase,
                kit: kit(row),
                index: index(row),
                hand: hand(row),
                mark_1: mark_1(row),
                mark_2: mark_2(row),
                // A rear wheel stays where it is, whatever its plate.
                place: { out: at[0]!, aft: at[1]!, oo: at[2]! || 0, oa: at[3]! || 0, aa: at[4]! || 0 },
                camberRead: camberRead(row),
                file: file(row),
                line: line(row),
            };
        };
    });
    return (row) => readers.map((read) => read(row));
}

/** Reads the records in a batch. */
function cornersIn(batch: Batch): Read<Corner> {
    const { value, number, numbers, slope } = columnsOf(batch);
    const each = (suffix: string) => numbers(angles.map((angle) => `${angle}_${suffix}`));
    const inPhases = (suffix: string) =>
        numbers(phases.flatMap((phase) => angles.map((angle) => `${phase}_${angle}_${suffix}`)));
    const names = (['chassis', 'vehicle', 'corner', 'visit'] as const).map((name) => value<string>(name));
    const [chassis, vehicle, corner, visit] = names as [
        Read<string>,
        Read<string>,
        Read<string>,
        Read<string>,
    ];
    const states = statesIn(batch);
    const slopes = angles.map(slope);
    const [deg, variances] = [inPhases('deg'), inPhases('var_deg2')];
    const [others, otherVariances] = [each('other_deg'), each('other_var_deg2')];
    const [visitVariances, mountVariances] = [each('visit_var_deg2'), each('mount_var_deg2')];
    const side = number('camber_side_var_deg2');
    return (row) => ({
        chassis: chassis(row),
        vehicle: vehicle(row),
        corner: corner(row),
        visit: visit(row),
        states: states(row),
        slopes: slopes.map((read) => read(row)),
        deg: deg(row),
        variances: variances(row),
        others: others(row),
        otherVariances: otherVariances(row),
        visitVariances: visitVariances(row),
        mountVariances: mountVariances(row),
        camberSideVariance: side(row),
    });
}

/** The records of corners, those of one visit or, over all visits, of one corner together: the query gives them in that order. */
export async function* cornersBy(
    batches: AsyncIterable<Batch>,
    key: 'visit' | 'corner',
): AsyncIterable<Corner[]> {
    let together: Corner[] = [];
    for await (const batch of batches) {
        const read = cornersIn(batch);
        for (let row = 0; row < batch.columns[0]!.length; row++) {
            const corner = read(row);
            const last = together[0];
            if (last !== undefined && (last.vehicle !== corner.vehicle || last[key] !== corner[key])) {
                yield together;
                together = [];
            }
            together.push(corner);
        }
    }
    if (together.length > 0) yield together;
}

/** The pairs of states that are compared, by their numbers. */
export const earlier = [0, 0, 1];
export const later = [1, 2, 2];
/** The state of each angle, by phase and angle. */
export const stateOf = [0, 0, 0, 1, 1, 1, 2, 2, 2];

/** Variances (deg2) from reading of the changes between the states of each pair, by angle; `mount`: what another kit adds. */
export function readVariances({ states, variances }: Corner, mount: Numbers): number[] {
    const found: number[] = [];
    for (let pair = 0; pair < 3; pair++) {
        const from = earlier[pair]!;
        const to = later[pair]!;
        const sameKit = states[from]!.kit === states[to]!.kit;
        for (let angle = 0; angle < 3; angle++)
            found.push(
                variances[3 * from + angle]! + variances[3 * to + angle]! + (sameKit ? 0 : mount[angle]!),
            );
    }
    return found;
}

/** Changes between the levels of the states of each pair. */
export function changesOf(levels: Numbers): number[] {
    const found: number[] = [];
    for (let pair = 0; pair < 3; pair++) {
        for (let angle = 0; angle < 3; angle++)
            found.push(levels[3 * later[pair]! + angle]! - levels[3 * earlier[pair]! + angle]!);
    }
    return found;
}

/** What the angles of each state would be at offset 0. */
export function levelsOf({ deg, slopes }: Corner, states: readonly Pick<State, 'place'>[]): number[] {
    const found: number[] = [];
    for (let i = 0; i < 9; i++) found.push(residual(deg[i]!, slopes[i % 3]!, states[stateOf[i]!]!.place));
    return found;
}

/** A whole number of millionths, halves away from zero. */
export const micro = (x: number): number => (x < 0 ? -Math.round(-x * 1e6) : Math.round(x * 1e6));

/** The mean of `values` over the states that have this angle, exact to a millionth, and their number. */
function meanThere(levels: Numbers, values: Numbers, angle: number) {
    let sum = 0;
    let count = 0;
    for (let i = angle; i < 9; i += 3) {
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

/** Whether any of the angles of a state or comparison is there. */
export const isThere = (numbers: Numbers, at: number): boolean =>
    !Number.isNaN(numbers[3 * at]!) ||
    !Number.isNaN(numbers[3 * at + 1]!) ||
    !Number.isNaN(numbers[3 * at + 2]!);

/** The weight of the changes between three states: three changes hold the information of two. */
export const shareOf = (numbers: Numbers): number =>
    isThere(numbers, 0) && isThere(numbers, 1) && isThere(numbers, 2) ? 2 / 3 : 1;

/** Residuals and variances of three changes and of the visit against others, by angle. */
export interface Fit {
    residuals: Numbers;
    variances: Numbers;
    share: number;
}

/** The sum of a measure over the comparisons of a visit. */
export const sumOf = (measure: Measure, { residuals, variances, share }: Fit): number =>
    share *
        (measure(residuals, variances, 0, 3) +
            measure(residuals, variances, 3, 6) +
            measure(residuals, variances, 6, 9)) +
    measure(residuals, variances, 9, 12);

/** How well the levels of a visit fit each other and what other visits read: changes, and means against theirs. */
export class VisitFit {
    readonly #others: Numbers;
    readonly #variances: number[];
    readonly #share: number;

    constructor(corner: Corner, levels: Numbers, mount: Numbers) {
        const { states, slopes, variances, others, otherVariances } = corner;
        this.#others = others;
        this.#share = shareOf(levels);
        this.#variances = readVariances(corner, mount);
        for (let pair = 0; pair < 3; pair++) {
            const move = moveBetween(states[earlier[pair]!]!.place, states[later[pair]!]!.place);
            for (let angle = 0; angle < 3; angle++)
                this.#variances[3 * pair + angle]! += moveVariance(slopes[angle]!, move);
        }
        for (let angle = 0; angle < 3; angle++)
            this.#variances.push(meanVariance(levels, variances, angle) + otherVariances[angle]!);
    }

    sum(measure: Measure, levels: Numbers): number {
        const residuals = changesOf(levels);
        for (let angle = 0; angle < 3; angle++) residuals.push(meanOf(levels, angle) - this.#others[angle]!);
        return sumOf(measure, { residuals, variances: this.#variances, share: this.#share });
    }
}

/** The first of `states` by file and line. */
export const firstLine = (states: readonly State[]): State =>
    states.reduce((first, one) =>
        one.file! < first.file! || (one.file === first.file && one.line! < first.line!) ? one : first,
    );
