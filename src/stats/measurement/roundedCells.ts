import { gaussLegendreRule } from '../gaussLegendre.js';
import { normalCdf } from '../normal.js';

/** Repeats of one state as whole display steps above the lowest of them, sorted; how many states show it. */
export interface Pattern {
    steps: readonly number[];
    count: number;
}

/**
 * Likelihood of a pattern at the standard deviation `sd` (in display steps) of the readings before they are rounded, the true value
 * anywhere: the integral over it of the product of the probabilities of the intervals that the digits stand for. The flat prior of the
 * true value makes it a restricted likelihood, so that the estimate of `sd` is not too small by the mean that each state takes.
 */
function likelihood(steps: readonly number[], sd: number): number {
    const margin = 0.5 + 6 * sd;
    const [from, to] = [-margin, steps.at(-1)! + margin];
    const pieces = Math.ceil((to - from) / Math.max(Math.min(sd * 3, 1), 0.25));
    let sum = 0;
    for (const [middle, weight] of gaussLegendreRule(from, to, pieces)) {
        let product = weight;
        for (const step of steps) {
            product *= normalCdf((step + 0.5 - middle) / sd) - normalCdf((step - 0.5 - middle) / sd);
        }
        sum += product;
    }
    return sum;
}

const SMALLEST = 0.05;
const LARGEST = 3;

/** Maximum of a function with one peak on `low`..`high`, by golden sections. */
function peak(f: (x: number) => number, low: number, high: number): number {
    const ratio = (Math.sqrt(5) - 1) / 2;
    let [a, b] = [low, high];
    let [c, d] = [b - ratio * (b - a), a + ratio * (b - a)];
    let [fc, fd] = [f(c), f(d)];
    while (b - a > 1e-4) {
        if (fc > fd) {
            [b, d, fd] = [d, c, fc];
            c = b - ratio * (b - a);
            fc = f(c);
        } else {
            [a, c, fc] = [c, d, fd];
            d = a + ratio * (b - a);
            fd = f(d);
        }
    }
    return (a + b) / 2;
}

/**
 * Standard deviation of readings before rounding, in display steps, and the degrees of freedom of a chi-square with the same
 * information, from states that were read more than once: interval likelihood (Heitjan, Statistical Science 4, 1989, 164-183; from
 * memory). Where no state shows two digits, the standard deviation is one that the data make half a log-likelihood unit less likely
 * than none at all, with two degrees of freedom.
 */
export function roundedSpread(patterns: readonly Pattern[]): { sd: number; df: number } {
    const logLikelihood = (logSd: number) =>
        patterns.reduce(
            (sum, { steps, count }) =>
                sum + count * Math.log(Math.max(likelihood(steps, Math.exp(logSd)), 1e-300)),
            0,
        );
    const low = Math.log(SMALLEST);
    const best = peak(logLikelihood, low, Math.log(LARGEST));
    const h = 0.05;
    const top = logLikelihood(best);
    const curvature = (2 * top - logLikelihood(best - h) - logLikelihood(best + h)) / (h * h);
    // log variance is twice log sd; the variance of the log of a chi-square over its df is near 2 / df.
    if (best > low + 0.1 && curvature > 0) return { sd: Math.exp(best), df: Math.max(curvature / 2, 1) };
    const floor = logLikelihood(low);
    let logSd = low;
    while (logSd < Math.log(LARGEST) && logLikelihood(logSd) > floor - 0.5) logSd += 0.05;
    return { sd: Math.exp(logSd), df: 2 };
}
