import { pauleMandel, pooled } from './pauleMandel.js';

/** One chassis' slope along one axis. `clusterVariance` and `df` are null where one vehicle carries it. */
export interface ChassisSlope {
    estimate: number;
    clusterVariance: number | null;
    df: number | null;
    modelVariance: number;
}

/** How the slopes of one angle along one axis differ between chassis; in deg/mm and their squares. */
export interface SlopePopulation {
    chassisCount: number;
    /** Mean ratio of CR2 variance to model variance, weighted by df, at least 1. */
    dispersion: number;
    pauleMandelMean: number | null;
    pauleMandelVariance: number | null;
    /** What the shrinkage uses. */
    mean: number;
    meanVariance: number;
    between: number;
}

function dispersionOf(slopes: readonly ChassisSlope[]): number {
    let [ratios, dfs] = [0, 0];
    for (const { clusterVariance, df, modelVariance } of slopes) {
        if (clusterVariance === null || df === null) continue;
        // A ratio over 4 counts as 4: one odd chassis must not widen all.
        ratios += df * Math.min(clusterVariance / modelVariance, 4);
        dfs += df;
    }
    return dfs > 0 ? Math.max(ratios / dfs, 1) : 1;
}

/**
 * Population of `slopes`, in an order of their values. With few chassis the Paule-Mandel variance says little, so it is averaged with
 * half the squared spread of the `prior` at the weight of two chassis; the mean takes the prior as one more chassis, with the other
 * half as its variance.
 */
export function slopePopulation(
    slopes: readonly ChassisSlope[],
    prior: { mean: number; sd: number },
): SlopePopulation {
    const dispersion = dispersionOf(slopes);
    // The CR2 variance with df degrees of freedom and the model variance with four.
    const sampled = slopes.map(({ estimate, clusterVariance, df, modelVariance }) => {
        const known = clusterVariance === null ? 0 : df!;
        const variance = ((clusterVariance ?? 0) * known + 4 * dispersion * modelVariance) / (known + 4);
        return { estimate, variance: Math.max(variance, 1e-14) };
    });
    const found = sampled.length > 0 ? pauleMandel(sampled) : null;
    const half = prior.sd ** 2 / 2;
    const others = Math.max(sampled.length - 1, 0);
    const between = (2 * half + others * (found?.between ?? 0)) / (2 + others);
    const { weights, values } = pooled(sampled, between);
    return {
        chassisCount: sampled.length,
        dispersion,
        pauleMandelMean: found?.mean ?? null,
        pauleMandelVariance: sampled.length > 1 ? found!.between : null,
        mean: (values + prior.mean / half) / (weights + 1 / half),
        meanVariance: 1 / (weights + 1 / half),
        between,
    };
}
