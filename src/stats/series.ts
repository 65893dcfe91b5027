/** Control charts and trends of a list of numbers in time order, in time that grows with its length: lists of SQL can only be copied. */

type Series = readonly number[];

/**
 * Exponentially weighted moving averages after each value: share * value + (1 - share) * the one before, the first from `start`
 * (NIST/SEMATECH e-Handbook 6.3.2.4). In the unit of `x`; share 0..1.
 *
 * ewma([1, 3], 0.5, 1) // [1, 2]
 */
export function ewma(x: Series, share: number, start: number): number[] {
    let average = start;
    return x.map((value) => {
        average = share * value + (1 - share) * average;
        return average;
    });
}

/**
 * Tabular CUSUM: sums of how far values lie over centre + slack (side 1) or under centre - slack (side -1), begun anew at 0
 * (NIST/SEMATECH e-Handbook 6.3.2.3). In the unit of `x`.
 *
 * cusum([2, 2, -9], 0, 1, 1) // [1, 2, 0]
 */
export function cusum(x: Series, centre: number, slack: number, side: number): number[] {
    let sum = 0;
    return x.map((value) => {
        sum = Math.max(sum + side * (value - centre) - slack, 0);
        return sum;
    });
}

/** Standard deviation from the mean moving range of two, 1.128 = d2(2) (NIST/SEMATECH e-Handbook 6.3.2.2); null under two values. */
export function movingRangeSd(x: Series): number | null {
    if (x.length < 2) return null;
    let sum = 0;
    for (let i = 1; i < x.length; i++) sum += Math.abs(x[i]! - x[i - 1]!);
    return sum / (x.length - 1) / 1.128;
}

/** Sums of squares about their mean of the first 1, 2, ... values (Welford 1962). */
function squaresOfFirst(y: Series): number[] {
    let mean = 0;
    let square = 0;
    return y.map((value, i) => {
        const off = value - mean;
        mean += off / (i + 1);
        square += off * (value - mean);
        return square;
    });
}

/**
 * Values before the best single step in `y`: where the sum of squares about the two means is least, the first of equals. Each side
 * keeps at least `shortest` values; null where `y` is too short for that.
 *
 * bestStepLast([0, 0, 5, 5], 1) // 2
 */
export function bestStepLast(y: Series, shortest: number): number | null {
    const before = squaresOfFirst(y);
    const after = squaresOfFirst(y.toReversed());
    let best: number | null = null;
    let least = Number.POSITIVE_INFINITY;
    for (let k = shortest; k <= y.length - shortest; k++) {
        const square = before[k - 1]! + after[y.length - k - 1]!;
        // Sums that differ by rounding only are equal.
        if (square < least * (1 - 1e-12)) {
            best = k;
            least = square;
        }
    }
    return best;
}
