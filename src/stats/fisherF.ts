import { betaCdf, betaQuantile } from './beta.js';

/**
 * P(X <= x) of the F distribution; `df1` of the numerator, `df2` of the denominator; NaN unless both in 0..1e8.
 * x df1 / df2 is the ratio B / (1 - B) of a beta variable with shapes df1/2 and df2/2; the smaller of B and 1 - B keeps the
 * digits.
 */
export function fCdf(x: number, df1: number, df2: number): number {
    const ratio = (df1 * Math.max(x, 0)) / df2;
    return ratio < 1
        ? betaCdf(ratio / (1 + ratio), df1 / 2, df2 / 2)
        : 1 - betaCdf(1 / (1 + ratio), df2 / 2, df1 / 2);
}

/**
 * The x with P(X <= x) = p of the F distribution; infinite at p = 1; NaN unless 0 <= p <= 1 and both df in 0..1e8.
 * By B as in {@link fCdf}, and by 1 - B where that costs fewer digits.
 */
export function fQuantile(p: number, df1: number, df2: number): number {
    const b = betaQuantile(p, df1 / 2, df2 / 2);
    if (1 - b >= Math.min(p, 0.5)) return (df2 * b) / (df1 * (1 - b));
    const rest = betaQuantile(1 - p, df2 / 2, df1 / 2);
    return (df2 * (1 - rest)) / (df1 * rest);
}
