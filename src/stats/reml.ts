import { type Block, blocksOf, type NormalEquations, predictor, times } from './mixedModel.js';

type Pair = [number, number];

/** Sums over the levels of each factor, of all blocks. */
interface Terms {
    traces: Pair;
    squares: Pair;
    /** Over pairs of levels: both of the first factor, one of each, both of the second. */
    information: [number, number, number];
    /** What the effects take of y'WMy. */
    explained: number;
}

/** H = A - A P A with P the {@link predictor} at these `ratios` of the levels, row by row. */
function residualInformation({ xx }: Block, p: Float64Array, ratios: readonly number[]): Float64Array {
    const n = ratios.length;
    const h = new Float64Array(n * n);
    for (let j = 0; j < n; j++) {
        const row = xx.subarray(j * n, (j + 1) * n);
        // P = R - R H R with R the ratios: where neither ratio is 0, H needs no product of matrices.
        const taken = ratios[j]! > 0 ? null : times(xx, times(p, row));
        for (let i = 0; i < n; i++) {
            if (taken !== null) {
                h[i * n + j] = row[i]! - taken[i]!;
                h[j * n + i] = h[i * n + j]!;
            } else if (ratios[i]! > 0) {
                h[i * n + j] = ((i === j ? ratios[j]! : 0) - p[i * n + j]!) / (ratios[i]! * ratios[j]!);
            }
        }
    }
    return h;
}

function addTerms(terms: Terms, block: Block, factors: readonly number[], ratios: Pair): void {
    const n = block.levels.length;
    const factor = block.levels.map((level) => factors[level]!);
    const own = factor.map((f) => ratios[f]!);
    const p = predictor(block, own.map(Math.sqrt));
    const h = residualInformation(block, p, own);
    const effects = times(p, block.xy);
    const fitted = times(block.xx, effects);
    for (let i = 0; i < n; i++) {
        terms.explained += block.xy[i]! * effects[i]!;
        terms.traces[factor[i]!]! += h[i * n + i]!;
        terms.squares[factor[i]!]! += (block.xy[i]! - fitted[i]!) ** 2;
        for (let j = 0; j < n; j++) {
            if (factor[i]! <= factor[j]!) terms.information[factor[i]! + factor[j]!]! += h[i * n + j]! ** 2;
        }
    }
}

/** The steps of Fisher scoring from `ratios`, 0 where not `free`. */
function scoringSteps(
    ratios: Pair,
    free: readonly boolean[],
    scores: readonly number[],
    { traces, information }: Terms,
    df: number,
): Pair {
    const j11 = information[0] - (traces[0] * traces[0]) / df;
    const j12 = information[1] - (traces[0] * traces[1]) / df;
    const j22 = information[2] - (traces[1] * traces[1]) / df;
    // A ratio that the likelihood does not depend on goes to 0.
    const first = j11 > 1e-10 * information[0] ? scores[0]! / j11 : -ratios[0];
    const second = j22 > 1e-10 * information[2] ? scores[1]! / j22 : -ratios[1];
    if (!free[0] || !free[1]) return [free[0] ? first : 0, free[1] ? second : 0];
    const det = j11 * j22 - j12 * j12;
    // Two factors that nobody can tell apart share the step.
    if (det <= 1e-10 * information[0] * information[2]) return [first / 2, second / 2];
    return [(j22 * scores[0]! - j12 * scores[1]!) / det, (j11 * scores[1]! - j12 * scores[0]!) / det];
}

interface VarianceRatios {
    /** Variance of each factor over the error variance; null where fewer than two of its levels were compared. */
    ratios: [number | null, number | null];
    /** Variance of an error with weight 1. */
    errorVariance: number;
    /** Levels of each factor that were compared. */
    counts: Pair;
}

/**
 * Restricted maximum likelihood (REML) of a model with two random factors, the error variance profiled out: Fisher scoring on
 * the ratios of the variances to it, from 1, until a step is under 1e-12 of 1 + ratio. A ratio at 0 stays there while the
 * likelihood falls from it (Searle, Casella and McCulloch, Variance Components, 1992, chapter 6; from memory). Scores and
 * information are summed over the blocks of the equations. Effects that left no residue would make the likelihood unbounded: the
 * error variance is at least a millionth of what it is without effects.
 *
 * @param factors factor of each level, 1 or 2
 * @param yy y'WMy
 * @param df readings less the rank of the fixed part, over 0
 */
export function reml(
    factors: readonly number[],
    equations: NormalEquations,
    yy: number,
    df: number,
): VarianceRatios {
    const factor = factors.map((f) => f - 1);
    const blocks = blocksOf(equations);
    const counts: Pair = [0, 0];
    for (const { levels, xx } of blocks) {
        levels.forEach((level, i) => {
            if (xx[i * levels.length + i]! > 1e-9) counts[factor[level]!]!++;
        });
    }
    const compared = counts.map((count) => count > 1);
    let ratios: Pair = [compared[0] ? 1 : 0, compared[1] ? 1 : 0];
    let errorVariance = 0;
    for (let step = 0, settled = false; step < 200 && !settled; step++) {
        const terms: Terms = { traces: [0, 0], squares: [0, 0], information: [0, 0, 0], explained: 0 };
        for (const block of blocks) addTerms(terms, block, factor, ratios);
        const error = Math.max(yy - terms.explained, 1e-6 * yy) / df;
        const scores = terms.squares.map((square, k) => (error > 0 ? square / error : 0) - terms.traces[k]!);
        const free = scores.map((score, k) => compared[k]! && (ratios[k]! > 0 || score > 0));
        const steps = scoringSteps(ratios, free, scores, terms, df);
        const last = ratios;
        const next = last.map((ratio, k) => Math.max(ratio + steps[k]!, 0));
        settled = next.every((ratio, k) => Math.abs(ratio - last[k]!) <= 1e-12 * (1 + last[k]!));
        ratios = next.map((ratio, k) => Math.min(ratio, 5 * last[k]! + 5)) as Pair;
        errorVariance = error;
    }
    return {
        ratios: [compared[0] ? ratios[0] : null, compared[1] ? ratios[1] : null],
        errorVariance,
        counts,
    };
}
