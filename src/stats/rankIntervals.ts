import { normalCdf } from './normal.js';

/**
 * Places that each of several estimates with independent errors may have among all, highest first: simultaneous for all pairs by Holm
 * (1979, Scandinavian Journal of Statistics 6, 65-70; from memory), so that with probability 1 - alpha none is put before one that is as high. `variances` are those of the errors.
 *
 * rankIntervals([0.9, 0.5, 0.5], [0.001, 0.001, 0.001], 0.05) // [{ low: 1, high: 1 }, { low: 2, high: 3 }, { low: 2, high: 3 }]
 */
export function rankIntervals(
    estimates: readonly number[],
    variances: readonly number[],
    alpha: number,
): { low: number; high: number }[] {
    const intervals = estimates.map(() => ({ low: 1, high: estimates.length }));
    const pairs = estimates.flatMap((one, i) =>
        estimates.slice(0, i).map((other, j) => {
            const deviate = (one - other) / Math.sqrt(variances[i]! + variances[j]!);
            const [better, worse] = deviate > 0 ? [i, j] : [j, i];
            return { better, worse, distance: Math.abs(deviate) };
        }),
    );
    pairs.sort((one, other) => other.distance - one.distance);
    for (const [index, { better, worse, distance }] of pairs.entries()) {
        if (2 * normalCdf(-distance) * (pairs.length - index) > alpha) break;
        intervals[better]!.high--;
        intervals[worse]!.low++;
    }
    return intervals;
}
