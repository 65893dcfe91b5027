import { isShape, lazily } from './library.js';

const cdf = lazily('@stdlib/stats-base-dists-beta-cdf');
const quantile = lazily('@stdlib/stats-base-dists-beta-quantile');

/** P(X <= x) of the beta distribution; NaN unless both shapes lie in 0..1e8. */
export function betaCdf(x: number, alpha: number, beta: number): number {
    return isShape(alpha) && isShape(beta) ? cdf(x, alpha, beta) : Number.NaN;
}

/**
 * The x with P(X <= x) = p of the beta distribution; NaN unless 0 <= p <= 1 and both shapes lie in 0..1e8.
 * Clopper and Pearson's interval of k in n is betaQuantile(a/2, k, n - k + 1) .. betaQuantile(1 - a/2, k + 1, n - k), with 0
 * for the lower limit at k = 0 and 1 for the upper one at k = n, where the shape would be 0.
 */
export function betaQuantile(p: number, alpha: number, beta: number): number {
    return isShape(alpha) && isShape(beta) ? quantile(p, alpha, beta) : Number.NaN;
}
