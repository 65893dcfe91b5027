import { largeChiSquareCdf, largeChiSquareQuantile } from './chiSquareLarge.js';
import { isShape, lazily } from './library.js';

const cdf = lazily('@stdlib/stats-base-dists-chisquare-cdf');
const quantile = lazily('@stdlib/stats-base-dists-chisquare-quantile');

const LARGE_DF = 1000;

/** P(X <= x) of the chi-square distribution; NaN unless 0 < df <= 1e8. */
export function chiSquareCdf(x: number, df: number): number {
    if (!isShape(df)) return Number.NaN;
    return df > LARGE_DF ? largeChiSquareCdf(x, df) : cdf(x, df);
}

/** The x with P(X <= x) = p of the chi-square distribution; infinite at p = 1; NaN unless 0 <= p <= 1 and 0 < df <= 1e8. */
export function chiSquareQuantile(p: number, df: number): number {
    if (!isShape(df)) return Number.NaN;
    return df > LARGE_DF && p > 0 && p < 1 ? largeChiSquareQuantile(p, df) : quantile(p, df);
}
