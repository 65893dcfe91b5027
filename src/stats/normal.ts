import { lazily } from './library.js';

const erfc = lazily('@stdlib/math-base-special-erfc');
const erfcInverse = lazily('@stdlib/math-base-special-erfcinv');

/** P(X <= x) of the standard normal distribution; x may be infinite. */
export function normalCdf(x: number): number {
    return erfc(-x * Math.SQRT1_2) / 2;
}

/**
 * The x with P(X <= x) = p of the standard normal distribution; infinite at p = 0 and 1, NaN outside 0..1.
 * By the inverse of erfc, which keeps its digits in the lower tail.
 */
export function normalQuantile(p: number): number {
    return -Math.SQRT2 * erfcInverse(2 * p);
}

/** Variance of a standard normal variable that is cut off at 2.5 on both sides. */
export const CUT_VARIANCE = 0.911257;
