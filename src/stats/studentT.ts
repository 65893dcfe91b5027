import { lazily } from './library.js';
import { normalCdf, normalQuantile } from './normal.js';

const cdf = lazily('@stdlib/stats-base-dists-t-cdf');
const quantile = lazily('@stdlib/stats-base-dists-t-quantile');

/** From here on t and normal agree in all digits, and the library no longer answers. */
const SAME_AS_NORMAL = 1e15;

/** P(T <= x) of Student's t distribution; df > 0 need not be whole and may be infinite, else NaN. */
export function tCdf(x: number, df: number): number {
    return df > SAME_AS_NORMAL ? normalCdf(x) : cdf(x, df);
}

/**
 * The x with P(T <= x) = p of Student's t distribution; df > 0 need not be whole (Satterthwaite) and may be infinite.
 * Infinite at p = 0 and 1; NaN for p outside 0..1 and df <= 0.
 */
export function tQuantile(p: number, df: number): number {
    return df > SAME_AS_NORMAL ? normalQuantile(p) : quantile(p, df);
}
