import { normalQuantile } from '../normal.js';
import { pauleMandel, type Sampled } from './pauleMandel.js';

/** One chassis: its estimate, the variance of that, and the degrees of freedom that the variance is known with. */
export interface Judged extends Sampled {
    df: number;
}

/** The posterior of the population: its mean, and the variance between its members as a gamma distribution of `df` / 2. */
export interface Population {
    mean: number;
    meanVariance: number;
    between: number;
    /** Satterthwaite: twice the squared mean of the variance over its own variance. */
    df: number;
}

/** Degrees of freedom from which on a variance counts as known. */
export const WELL_KNOWN = 1e4;

const NODES = 6;
const DEVIATES = Array.from({ length: NODES }, (_, i) => (i + 0.5) / NODES);

/** Without a power, whose last bit differs between versions of Node. */
const cube = (x: number) => x * x * x;

/** Equally likely true variances behind an estimated one: df s2 / chi-square, by Wilson and Hilferty (1931). */
function trueVariances({ variance, df }: Judged): number[] {
    const share = 2 / (9 * df);
    return DEVIATES.map(
        (p) => variance / cube(Math.max(1 - share + normalQuantile(p) * Math.sqrt(share), 0.15)),
    );
}

interface Member {
    estimate: number;
    variances: number[];
}

/** Log-likelihood of a mean and a between-variance, with the weight and the next value that an EM step for the mean takes. */
function sumsAt(members: readonly Member[], mean: number, between: number) {
    let [logLikelihood, weights, values, information] = [0, 0, 0, 0];
    for (const { estimate, variances } of members) {
        let [density, weighted, squared] = [0, 0, 0];
        const square = (estimate - mean) ** 2;
        // Relative to the widest, so that nothing underflows.
        const widest = square / 2 / (variances[0]! + between);
        for (const variance of variances) {
            const w = 1 / (variance + between);
            const likelihood = Math.sqrt(w) * Math.exp(widest - (square * w) / 2);
            density += likelihood;
            weighted += likelihood * w;
            squared += likelihood * w * w;
        }
        const w = weighted / density;
        logLikelihood += Math.log(density / NODES) - widest;
        weights += w;
        values += w * estimate;
        information += w - square * (squared / density - w * w);
    }
    return { logLikelihood, weights, values, information };
}

/** Log posterior density of the between-sd, the mean integrated out by Laplace, and mean and variance of the mean. */
function at(members: readonly Member[], sd: number, from: number, prior: { mean: number; variance: number }) {
    let mean = from;
    for (let step = 0; step < 50; step++) {
        const { weights, values } = sumsAt(members, mean, sd * sd);
        const next = (values + prior.mean / prior.variance) / (weights + 1 / prior.variance);
        const moved = Math.abs(next - mean);
        mean = next;
        if (moved * moved < 1e-6 / (weights + 1 / prior.variance)) break;
    }
    const { logLikelihood, weights, information } = sumsAt(members, mean, sd * sd);
    const precision = Math.max(information, 0.2 * weights) + 1 / prior.variance;
    return {
        mean,
        variance: 1 / precision,
        logPosterior: logLikelihood - (mean - prior.mean) ** 2 / prior.variance / 2 - Math.log(precision) / 2,
    };
}

/** Values of sd / (sd + middle). */
const GRID = 65;

/**
 * Posterior of mean and between-variance of `judged` (at least one) on a grid of the between-sd, under a half-t prior with 4 degrees
 * of freedom for it (Gelman 2006, Bayesian Analysis 1, 515-533) with `prior.variance` for its squared scale, and a normal
 * one with that variance for the mean. The true variance of an estimate is averaged over: an estimated one taken for true pulls the whole with it
 * where noise is uneven.
 */
export function betweenChassis(
    judged: readonly Judged[],
    prior: { mean: number; variance: number },
): Population {
    const members = judged.map((one) => ({ estimate: one.estimate, variances: trueVariances(one) }));
    const scale = Math.sqrt(prior.variance);
    const found = pauleMandel(judged);
    const middle = Math.max(scale, Math.sqrt(found.between));
    const points: { between: number; mean: number; variance: number; log: number }[] = [];
    let best = -Infinity;
    const add = (i: number, from: number) => {
        const u = (i + 0.5) / GRID;
        const sd = (middle * u) / (1 - u);
        const { mean, variance, logPosterior } = at(members, sd, from, prior);
        const log = logPosterior - 2.5 * Math.log1p((sd / scale) ** 2 / 4) - 2 * Math.log(1 - u);
        points.push({ between: sd * sd, mean, variance, log });
        best = Math.max(best, log);
        return { mean, negligible: log < best - 20 };
    };
    const start = add((GRID - 1) / 2, found.mean).mean;
    for (const direction of [-1, 1]) {
        let from = start;
        for (let i = (GRID - 1) / 2 + direction; i >= 0 && i < GRID; i += direction) {
            const { mean, negligible } = add(i, from);
            if (negligible) break;
            from = mean;
        }
    }
    return summary(points.map((point) => ({ ...point, weight: Math.exp(point.log - best) })));
}

function summary(
    points: readonly { between: number; mean: number; variance: number; weight: number }[],
): Population {
    const total = points.reduce((sum, { weight }) => sum + weight, 0);
    const average = (of: (point: (typeof points)[number]) => number) =>
        points.reduce((sum, point) => sum + point.weight * of(point), 0) / total;
    const mean = average((point) => point.mean);
    const between = average((point) => point.between);
    return {
        mean,
        meanVariance: average((point) => point.variance + (point.mean - mean) ** 2),
        between,
        // Near 0 the posterior of the sd is flat, as that of chi-square with one degree of freedom; less comes from its long tail.
        df: Math.min(
            Math.max((2 * between ** 2) / average((point) => (point.between - between) ** 2), 1),
            WELL_KNOWN,
        ),
    };
}
