import { groupedBy } from '../groupedBy.js';
import { median } from '../slopes/median.js';

/** Two readings of one setting, the later less the earlier, each by a mounting of its own. */
export interface Gap {
    /** deg */
    gap: number;
    /** Variance of both readings without what a set-up adds, deg2. */
    variance: number;
    /** 0 = one gauge and person read both; else a number of the two. */
    pair: number;
    /** Car and visit. */
    cluster: number;
    /** A rear corner, or both of check visits. */
    undisturbed: boolean;
    /** Both of one visit: the car stood where it was, so that floor and rake are in both alike. */
    stood: boolean;
    /** What mountings add to its variance, in that of one: 2, or less where a reading is a mean over several. */
    mountings: number;
}

/** What gauges and visits say of the variance of a set-up. */
export interface SetUp {
    /** Posterior mean of the variance, deg2. */
    variance: number;
    /** 95 % interval of the standard deviation, deg. */
    low: number;
    high: number;
}

/**
 * Gaps of two readers about the middle of all that the two have read, so that their biases take no part; widened for the middle, which
 * follows the gaps. Two readers with one setting in common say nothing.
 */
export function centred(gaps: readonly Gap[]): Gap[] {
    const isOwn = ({ pair }: Gap) => pair === 0;
    const between = gaps.filter((gap) => !isOwn(gap));
    const others = groupedBy(between, ({ pair }) => pair).flatMap((met) => {
        if (met.length < 2) return [];
        const middle = median(Float64Array.from(met, ({ gap }) => gap))!;
        const widening = Math.sqrt(met.length / (met.length - 1));
        return met.map((gap) => ({ ...gap, gap: (gap.gap - middle) * widening }));
    });
    return [...gaps.filter(isOwn), ...others];
}

interface Bin {
    square: number;
    variance: number;
    undisturbed: boolean;
    count: number;
}

/** Gaps of nearly one size and variance, counted. */
function binned(gaps: readonly Gap[]): Bin[] {
    const bins = new Map<number, Bin>();
    for (const { gap, variance, undisturbed } of gaps) {
        const level = Math.round(Math.log(variance) * 20);
        const size = Math.min(Math.round((Math.abs(gap) / Math.sqrt(variance)) * 10), 400);
        const key = (level * 401 + size) * 2 + Number(undisturbed);
        const bin = bins.get(key) ?? { square: 0, variance: 0, undisturbed, count: 0 };
        bin.square += gap * gap;
        bin.variance += variance;
        bin.count++;
        bins.set(key, bin);
    }
    return [...bins.values()].map((bin) => ({
        ...bin,
        square: bin.square / bin.count,
        variance: bin.variance / bin.count,
    }));
}

const density = (square: number, variance: number) => Math.exp(-square / variance / 2) / Math.sqrt(variance);

/** Share of the corners that moved in between, of both kinds, and the variance of what they moved by. */
interface Moved {
    undisturbedShare: number;
    otherShare: number;
    variance: number;
}

const shareOf = (moved: Moved, bin: Bin) => (bin.undisturbed ? moved.undisturbedShare : moved.otherShare);

function expected(bins: readonly Bin[], setUpVariance: number, moved: Moved): number[] {
    return bins.map((bin) => {
        const variance = bin.variance + 2 * setUpVariance;
        const share = shareOf(moved, bin);
        const gone = share * density(bin.square, variance + moved.variance);
        const still = (1 - share) * density(bin.square, variance);
        // Beyond the range of both densities a gap is a move.
        return gone + still > 0 ? gone / (gone + still) : 1;
    });
}

/** One step of maximisation; one moved corner of ten, of twenty among the undisturbed, is expected beforehand at the weight of ten. */
function maximised(bins: readonly Bin[], setUpVariance: number, moved: Moved, leastVariance: number): Moved {
    const chances = expected(bins, setUpVariance, moved);
    const sums = { still: 0, gone: 0, restStill: 0, restGone: 0, square: 0, weight: 0 };
    for (const [i, bin] of bins.entries()) {
        const gone = bin.count * chances[i]!;
        if (bin.undisturbed) {
            sums.restGone += gone;
            sums.restStill += bin.count - gone;
        } else {
            sums.gone += gone;
            sums.still += bin.count - gone;
        }
        sums.square += gone * Math.max(bin.square - bin.variance - 2 * setUpVariance, 0);
        sums.weight += gone;
    }
    return {
        undisturbedShare: (sums.restGone + 0.5) / (sums.restGone + sums.restStill + 10),
        otherShare: (sums.gone + 1) / (sums.gone + sums.still + 10),
        variance: Math.max(
            (sums.square + 4 * leastVariance) / (sums.weight + 4 * (leastVariance > 0 ? 1 : 0)),
            leastVariance,
        ),
    };
}

/**
 * How many gaps count as one independent one: corners of one car in one visit share floor, rake and clamps. The squares of the gaps
 * over their variance, less 1, summed by car and visit, against what they would be if each stood for itself.
 */
function designEffect(clusters: readonly Gap[][], setUpVariance: number, limit: number): number {
    let [summed, apart, squareCounts, count] = [0, 0, 0, 0];
    for (const cluster of clusters) {
        let [sum, own] = [0, 0];
        for (const { gap, variance } of cluster) {
            const square = (gap * gap) / (variance + 2 * setUpVariance);
            if (square > limit * limit) continue;
            sum += square - 1;
            apart += (square - 1) * (square - 1);
            own++;
        }
        summed += sum * sum;
        squareCounts += own * own;
        count += own;
    }
    if (count === 0 || apart === 0) return 1;
    return Math.min(Math.max(summed / apart, 1), squareCounts / count);
}

/** The same of all gaps, by bin. */
interface Table {
    squares: Float64Array;
    variances: Float64Array;
    counts: Float64Array;
}

/** By bin, the density where no corner moved, with this variance besides. */
function densitiesOf({ squares, variances }: Table, more: number): Float64Array {
    return variances.map((variance, k) => density(squares[k]!, variance + more));
}

/** ln of the likelihood of the gaps, with this variance besides; `still`: their {@link densitiesOf} with it, `shares`: of corners that moved. */
function logOf(
    { squares, variances, counts }: Table,
    more: number,
    still: Float64Array,
    shares: Float64Array,
    movedVariance: number,
): number {
    let sum = 0;
    for (let k = 0; k < counts.length; k++) {
        const gone = density(squares[k]!, variances[k]! + more + movedVariance);
        const both = (1 - shares[k]!) * still[k]! + shares[k]! * gone;
        sum += counts[k]! * (both > 0 ? Math.log(both) : -745);
    }
    return sum;
}

const POINTS = 60;

/** Below the highest ln by which a point has no weight. */
const NO_WEIGHT = 40;

/** ln at the points about `start` that have weight; -infinity at the others. */
function logsFrom(start: number, logAt: (i: number) => number): Float64Array {
    const logs = new Float64Array(POINTS + 1).fill(Number.NEGATIVE_INFINITY);
    let most = logAt(start);
    logs[start] = most;
    for (const step of [-1, 1]) {
        for (let i = start + step; i >= 0 && i <= POINTS; i += step) {
            logs[i] = logAt(i);
            most = Math.max(most, logs[i]!);
            if (logs[i]! < most - NO_WEIGHT) break;
        }
    }
    return logs;
}

/**
 * Variance of a set-up from `gaps`, which are {@link centred}: posterior on a grid with a half-normal prior of scale `scale` (deg) for
 * its standard deviation, so that without a gap the mean of the variance is the square of it.
 */
export function setUpOf(gaps: readonly Gap[], scale: number): SetUp {
    const bins = binned(gaps);
    const clusters = groupedBy(gaps, ({ cluster }) => cluster);
    const least = 9 * scale * scale;
    const grid = Array.from({ length: POINTS + 1 }, (_, i) => 6 * scale * (i / POINTS) * (i / POINTS));
    const table: Table = {
        squares: Float64Array.from(bins, ({ square }) => square),
        variances: Float64Array.from(bins, (bin) => bin.variance),
        counts: Float64Array.from(bins, ({ count }) => count),
    };
    const still: Float64Array[] = [];
    let moved: Moved = { undisturbedShare: 0.05, otherShare: 0.1, variance: 4 * least };
    let variance = scale * scale;
    let weights: number[] = [];
    let effect = 1;
    for (let round = 0; round < 12; round++) {
        if (bins.length > 0) {
            for (let step = 0; step < 3; step++) moved = maximised(bins, variance, moved, least);
            effect = designEffect(clusters, variance, 2.5);
        }
        const shares = Float64Array.from(bins, (bin) => shareOf(moved, bin));
        const logs = logsFrom(Math.round(POINTS * Math.sqrt(Math.sqrt(variance) / (6 * scale))), (i) => {
            const more = 2 * grid[i]! * grid[i]!;
            still[i] ??= densitiesOf(table, more);
            return logOf(table, more, still[i], shares, moved.variance) / effect - more / (4 * scale * scale);
        });
        const most = logs.reduce((a, b) => Math.max(a, b));
        // Widths of the cells about the points, which lie closer near 0.
        weights = Array.from(logs, (log, i) => {
            const width = (grid[Math.min(i + 1, POINTS)]! - grid[Math.max(i - 1, 0)]!) / 2;
            return Math.exp(log - most) * width;
        });
        const total = weights.reduce((sum, weight) => sum + weight, 0);
        weights = weights.map((weight) => weight / total);
        const next = weights.reduce((sum, weight, i) => sum + weight * grid[i]! * grid[i]!, 0);
        if (bins.length === 0) break;
        const settled = Math.abs(next - variance) <= 1e-4 * variance;
        variance = next;
        if (settled) break;
    }
    const quantile = (p: number) => {
        let sum = 0;
        for (const [i, weight] of weights.entries()) {
            if (sum + weight >= p) {
                const from = grid[Math.max(i - 1, 0)]!;
                return from + ((grid[i]! - from) * (p - sum)) / weight;
            }
            sum += weight;
        }
        return grid[POINTS]!;
    };
    return { variance, low: quantile(0.025), high: quantile(0.975) };
}
