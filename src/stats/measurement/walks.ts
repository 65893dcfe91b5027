import { connected } from '../connected.js';
import { groupedBy } from '../groupedBy.js';
import { scatterOf, times } from '../mixedModel.js';
import { CUT_VARIANCE } from '../normal.js';
import { median } from '../slopes/median.js';
import { symmetricInverse } from '../symmetricInverse.js';
import type { Gap } from './setUps.js';

/** A gap with the gauges that read it, first and then, and when, in weeks since some day; NaN where no time is written. */
export interface DatedGap extends Gap {
    gauges: readonly [string | null, string | null];
    at: readonly [number, number];
}

/** How a gauge walks: its bias moves at one rate. */
export interface Walk {
    /** deg per week, if it walks */
    rate: number;
    standardError: number;
    /** Posterior probability that it does. */
    probability: number;
    /** Mean and variance of its rate, whether it walks or not; 0 where it hardly does. */
    expected: number;
    variance: number;
    /** From the first to the last of its readings that tell of it, and the mean of their times. */
    weeks: number;
    middle: number;
    pairCount: number;
}

/** `since` the middle of a walk no farther than the time over which it was told, as the macro `weeks_into`. */
export const withinWalk = (since: number, weeks: number) => Math.max(-weeks, Math.min(since, weeks));

/** Share of gauges that walk (common practice, no source), and how many may be found to. */
const SHARE = 0.05;
const MOST = 8;

/** Weeks within which what one gauge reads again tells of no walk: cars that settle after an install look like it (common practice, no source). */
const SETTLED = 8;

/** Gaps, beside those of references, from which on those of every second car and visit tell, every third, and so on. */
const ENOUGH = 16_384;

/** Some walk so many times faster than is usual. */
const FAST = 5;

/** Rounds of weighing; in the first of them gaps count up to 5 standard deviations from the rates, then up to 2.5. */
const ROUNDS = 7;
const WIDE_ROUNDS = 3;

/** Probability below which a gauge counts as steady: what is only expected widens no interval. */
const LEAST = 0.2;

/** Gaps of the same two readers and what a week's rate of either gauge adds to each; of one gauge the second adds nothing. */
interface Met {
    gaps: readonly DatedGap[];
    own: boolean;
    first: number;
    second: number;
    x: Float64Array;
    y: Float64Array;
    residuals: Float64Array;
}

/**
 * Gaps whose times are known and near the others: one mistyped year, a lever of a thousand weeks, would hold every rate at nothing.
 * Far out is beyond the quartiles by three times what lies between them (Tukey 1977, from memory), a year at least.
 */
function datedOf(gaps: readonly DatedGap[]): DatedGap[] {
    const every = Math.ceil(gaps.length / ENOUGH);
    const dated = gaps.filter(
        ({ at: [from, to], gauges: [one, other], mountings, cluster }) =>
            Number.isFinite(from + to) &&
            (mountings === 0 || cluster % every === 0) &&
            (one !== other || Math.abs(to - from) > (mountings === 0 ? 0 : SETTLED)),
    );
    const times = Float64Array.from(dated.flatMap(({ at }) => [...at])).sort();
    const [low, high] = [1, 3].map((k) => times[Math.floor((k * times.length) / 4)]!) as [number, number];
    const far = Math.max(3 * (high - low), 52);
    return dated.filter(({ at }) => at.every((time) => time >= low - far && time <= high + far));
}

function metOf(gaps: readonly DatedGap[], places: ReadonlyMap<string | null, number>): Met[] {
    const dated = datedOf(gaps);
    const readers = groupedBy(dated, ({ pair, gauges }) =>
        pair === 0 ? `own ${places.get(gauges[0])}` : pair,
    );
    return readers.map((met) => {
        const [first, second] = met[0]!.gauges.map((gauge) => places.get(gauge)!) as [number, number];
        const own = met[0]!.pair === 0;
        const one = first === second;
        const middle = own ? 0 : median(Float64Array.from(met, ({ gap }) => gap))!;
        return {
            gaps: met,
            own,
            first,
            second,
            x: Float64Array.from(met, ({ at: [from, to] }) => (one ? to - from : -from)),
            y: Float64Array.from(met, ({ at: [, to] }) => (one ? 0 : to)),
            residuals: Float64Array.from(met, ({ gap }) => gap - middle),
        };
    });
}

/** A normal likelihood of the rates. */
interface Information {
    matrix: Float64Array;
    vector: Float64Array;
}

/**
 * Adds to `into` what `met` tells of the rates, about its means where two read, of gaps whose squared residuals are within `limit`
 * variances; their residuals from `rates` are left in it.
 */
function tell(
    met: Met,
    rates: ArrayLike<number>,
    more: number,
    into: Information,
    scores: Map<number, Map<number, number>> | null,
    limit: number,
) {
    const { gaps, own, first, second, x, y, residuals } = met;
    const n = into.vector.length;
    const weights = Float64Array.from(gaps, ({ variance }, i) => {
        const v = variance + more;
        return residuals[i]! * residuals[i]! <= limit * v ? 1 / v : 0;
    });
    const kept = weights.filter((weight) => weight > 0).length;
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const meanOf = (of: (i: number) => number) =>
        own || total === 0 ? 0 : weights.reduce((sum, weight, i) => sum + weight * of(i), 0) / total;
    const [xMean, yMean] = [meanOf((i) => x[i]!), meanOf((i) => y[i]!)];
    const gapMean = meanOf((i) => gaps[i]!.gap);
    let scatter = 0;
    for (const [i, { gap, cluster }] of gaps.entries()) {
        const [dx, dy, dGap] = [x[i]! - xMean, y[i]! - yMean, gap - gapMean];
        const residual = dGap - rates[first]! * dx - rates[second]! * dy;
        residuals[i] = residual;
        const weight = weights[i]!;
        if (weight === 0) continue;
        into.matrix[first * n + first]! += weight * dx * dx;
        into.matrix[second * n + second]! += weight * dy * dy;
        into.matrix[first * n + second]! += weight * dx * dy;
        into.matrix[second * n + first]! += weight * dx * dy;
        into.vector[first]! += weight * dx * dGap;
        into.vector[second]! += weight * dy * dGap;
        scatter += weight * residual * residual;
        if (scores === null) continue;
        const score = scores.get(cluster) ?? new Map<number, number>();
        scores.set(cluster, score);
        score.set(first, (score.get(first) ?? 0) + weight * dx * residual);
        score.set(second, (score.get(second) ?? 0) + weight * dy * residual);
    }
    return { scatter, kept };
}

const ridged = (matrix: Float64Array, n: number, ridge: number) =>
    symmetricInverse(
        matrix.map((value, k) => (k % (n + 1) === 0 ? value + ridge : value)),
        n,
    );

const inner = (one: Float64Array, other: Float64Array) =>
    one.reduce((sum, value, i) => sum + value * other[i]!, 0);

/**
 * What `all` tell of the rates of `n` gauges; gaps far from it, of corners that moved, take no part. Beside the variances of readings
 * gaps have what their scatter shows, drawn at the weight of 20 towards `usual`.
 */
function informationOf(all: readonly Met[], n: number, scale: number, usual: number): Information {
    const ridge = 1 / (FAST * scale) / (FAST * scale);
    const reads = median(Float64Array.from(all.flatMap(({ gaps }) => gaps.map(({ variance }) => variance))))!;
    const count = all.reduce((sum, { gaps }) => sum + gaps.length, 0);
    const scores = new Map<number, Map<number, number>>();
    let rates: Float64Array = new Float64Array(n);
    let information = { matrix: new Float64Array(n * n), vector: new Float64Array(n) };
    for (let round = 0; ; round++) {
        const spread = median(
            Float64Array.from(all.flatMap(({ residuals }) => [...residuals.map(Math.abs)])),
        )!;
        const shown = Math.max((1.4826 * spread) ** 2 - reads, 0);
        const more = (count * shown + 20 * usual) / (count + 20);
        information = { matrix: new Float64Array(n * n), vector: new Float64Array(n) };
        const isLast = round === ROUNDS - 1;
        let [scatter, kept] = [0, 0];
        for (const met of all) {
            const told = tell(
                met,
                rates,
                more,
                information,
                isLast ? scores : null,
                round < WIDE_ROUNDS ? 25 : 6.25,
            );
            scatter += told.scatter;
            kept += told.kept;
        }
        const inverse = ridged(information.matrix, n, ridge);
        if (isLast) {
            // Scatter beyond the variances, and what gaps of one car and visit share, count as fewer gaps.
            const freed = scores.size > 1 ? scores.size / (scores.size - 1) : 1;
            let together = 0;
            for (const score of scores.values()) together += scatterOf(score, inverse, n);
            const expected = inner(inverse, information.matrix);
            const df = Math.max(kept - n - all.filter(({ own }) => !own).length, 1);
            const effect = Math.max(
                1,
                scatter / df / CUT_VARIANCE,
                (freed * together) / expected / CUT_VARIANCE,
            );
            return {
                matrix: information.matrix.map((value) => value / effect),
                vector: information.vector.map((value) => value / effect),
            };
        }
        rates = times(inverse, information.vector);
    }
}

/** Moments of the rates over all sets of gauges that may walk, slowly or fast, each by its posterior probability. */
function averaged({ matrix, vector }: Information, n: number, scale: number) {
    const ridges = [scale, FAST * scale].map((sd) => 1 / sd / sd);
    const gains = Array.from({ length: n }, (_, i) => vector[i]! ** 2 / (matrix[i * n + i]! + ridges[1]!));
    const likeliest = gains
        .map((_, i) => i)
        .sort((a, b) => gains[b]! - gains[a]! || a - b)
        .slice(0, MOST);
    const sets = Array.from({ length: 2 << likeliest.length }, (_, k) => {
        const [set, ridge] = [k >> 1, ridges[k & 1]!];
        const walking = likeliest.filter((_, bit) => (set >> bit) & 1);
        const m = walking.length;
        const part = Float64Array.from(
            { length: m * m },
            (_, at) => matrix[walking[Math.floor(at / m)]! * n + walking[at % m]!]!,
        );
        const covariance = ridged(part, m, ridge);
        const told = Float64Array.from(walking, (i) => vector[i]!);
        const rates = times(covariance, told);
        const log =
            m * Math.log(SHARE / (1 - SHARE)) +
            inner(told, rates) / 2 +
            (logDeterminant(covariance, m) + m * Math.log(ridge)) / 2;
        return { walking, rates, variances: rates.map((_, i) => covariance[i * m + i]!), log };
    });
    const most = sets.reduce((found, { log }) => Math.max(found, log), Number.NEGATIVE_INFINITY);
    const sums = Array.from({ length: n }, () => ({ weight: 0, rate: 0, square: 0 }));
    let total = 0;
    for (const { walking, rates, variances, log } of sets) {
        const weight = Math.exp(log - most);
        total += weight;
        for (const [place, i] of walking.entries()) {
            const sum = sums[i]!;
            sum.weight += weight;
            sum.rate += weight * rates[place]!;
            sum.square += weight * (rates[place]! ** 2 + variances[place]!);
        }
    }
    return sums.map(({ weight, rate, square }) => {
        const probability = weight / total;
        const counted = probability >= LEAST ? 1 / total : 0;
        return {
            probability,
            rate: rate / weight,
            standardError: Math.sqrt(square / weight - (rate / weight) ** 2),
            expected: rate * counted,
            variance: square * counted - (rate * counted) ** 2,
        };
    });
}

/** Logarithm of the determinant of a positive definite matrix, by elimination. */
function logDeterminant(matrix: Float64Array, n: number): number {
    const left = matrix.slice();
    let sum = 0;
    for (let i = 0; i < n; i++) {
        const pivot = left[i * n + i]!;
        sum += Math.log(pivot);
        for (let j = i + 1; j < n; j++) {
            const factor = left[j * n + i]! / pivot;
            for (let k = i; k < n; k++) left[j * n + k]! -= factor * left[i * n + k]!;
        }
    }
    return sum;
}

/** The gauges that met, directly or through others, with what was read by them. */
function blocksOf(all: readonly Met[], count: number): { all: Met[]; members: number[] }[] {
    const [firsts, seconds] = [all.map(({ first }) => first + 1), all.map(({ second }) => second + 1)];
    const sets = connected(count, firsts, seconds);
    return groupedBy(all, ({ first }) => sets[first]!).map((told) => {
        const set = sets[told[0]!.first];
        const members = sets.flatMap((other, i) => (other === set ? [i] : []));
        const within = new Map(members.map((member, i) => [member, i]));
        return {
            members,
            all: told.map((met) => ({
                ...met,
                first: within.get(met.first)!,
                second: within.get(met.second)!,
            })),
        };
    });
}

/** When gauge `i` was read in `all`, weeks. */
const timesOf = (all: readonly Met[], i: number) =>
    all.flatMap(({ gaps, first, second }) =>
        gaps.flatMap(({ at: [from, to] }) => [...(first === i ? [from] : []), ...(second === i ? [to] : [])]),
    );

/**
 * Which gauges walk, and how fast, from their own gaps, also of references, and those with others: all that two readers read of one
 * setting moves apart as the one or the other walks. Few do, hence the fewest that explain the gaps are the likeliest (spike and slab:
 * Mitchell and Beauchamp 1988, Journal of the American Statistical Association 83, 1023-1032; from memory).
 *
 * @param scale standard deviation of the rate of one that walks, deg a week
 * @param usual variance that gaps are expected to have beside that of the readings, deg2
 * @returns those that 8 gaps or more tell of, over four weeks or more
 */
export function walksOf(gaps: readonly DatedGap[], scale: number, usual: number): Map<string | null, Walk> {
    const names = [...new Set(gaps.flatMap(({ gauges }) => gauges))].sort((a, b) =>
        (a ?? '') < (b ?? '') ? -1 : 1,
    );
    const walks = new Map<string | null, Walk>();
    const places = new Map(names.map((name, i) => [name, i]));
    for (const { all, members } of blocksOf(metOf(gaps, places), names.length)) {
        const n = members.length;
        const information = informationOf(all, n, scale, usual);
        const moments = averaged(information, n, scale);
        for (const [i, member] of members.entries()) {
            const own = all.filter(({ first, second }) => first === i || second === i);
            const times = timesOf(own, i);
            const first = times.reduce((a, b) => Math.min(a, b));
            const weeks = times.reduce((a, b) => Math.max(a, b)) - first;
            const middle = first + times.reduce((sum, time) => sum + (time - first), 0) / times.length;
            const pairCount = own.reduce((sum, met) => sum + met.gaps.length, 0);
            // As much as is expected beforehand, at least.
            const told = information.matrix[i * n + i]! > 1 / scale / scale;
            if (pairCount < 8 || weeks < 4 || !told || moments[i]!.probability === 0) continue;
            walks.set(names[member]!, { ...moments[i]!, weeks, middle, pairCount });
        }
    }
    return walks;
}
