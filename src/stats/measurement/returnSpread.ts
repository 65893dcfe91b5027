import { chiSquareQuantile } from '../chiSquare.js';
import { root } from '../root.js';

/** An angle that came back (deg), and the variance of its reading (deg2). */
export interface Returned {
    deg: number;
    var_deg2: number;
}

/** Standard deviation (deg) of what comes back beyond the reading, with its 95 % interval. */
export interface ReturnSpread {
    sd_deg: number;
    low_deg: number;
    high_deg: number;
    df: number;
}

/** Sum over all groups of squared distances from the group's mean, weighted by 1 / (variance of the reading + `between`). */
function scatter(groups: readonly (readonly Returned[])[], between: number): number {
    return groups.reduce((sum, group) => {
        const weights = group.map(({ var_deg2 }) => 1 / (var_deg2 + between));
        const total = weights.reduce((a, b) => a + b, 0);
        const mean = group.reduce((a, { deg }, i) => a + weights[i]! * deg, 0) / total;
        return sum + group.reduce((a, { deg }, i) => a + weights[i]! * (deg - mean) * (deg - mean), 0);
    }, 0);
}

/** The variance at which the scatter is `wanted`; 0 where it is less without any. */
function varianceAt(groups: readonly (readonly Returned[])[], wanted: number): number {
    if (scatter(groups, 0) <= wanted) return 0;
    let high = 1e-4;
    while (scatter(groups, high) > wanted) high *= 4;
    return root((between) => scatter(groups, between) - wanted, 0, high);
}

/**
 * The spread of angles that came back to the same marks, beyond their readings: one variance for all groups, each about a mean of its
 * own. Estimate: generalised method of moments (Paule and Mandel 1982); interval: Q-profile, from the chi-square quantiles of the
 * weighted scatter with (values - groups) degrees of freedom (Viechtbauer 2007, Statistics in Medicine 26, 37-52; from memory), exact
 * where the variances of the readings are. Null where no group has two values.
 */
export function returnSpread(groups: readonly (readonly Returned[])[]): ReturnSpread | null {
    const df = groups.reduce((sum, group) => sum + group.length - 1, 0);
    if (df < 1) return null;
    const sdAt = (wanted: number) => Math.sqrt(varianceAt(groups, wanted));
    return {
        sd_deg: sdAt(df),
        low_deg: sdAt(chiSquareQuantile(0.975, df)),
        high_deg: sdAt(chiSquareQuantile(0.025, df)),
        df,
    };
}
