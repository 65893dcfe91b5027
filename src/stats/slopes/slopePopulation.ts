import { betweenChassis } from './betweenChassis.js';
import { pauleMandel } from './pauleMandel.js';
import { modelTrust } from './varianceRatio.js';

/** One chassis' slope along one axis. `clusterVariance` and `df` are null where one vehicle carries it. */
export interface ChassisSlope {
    estimate: number;
    clusterVariance: number | null;
    df: number | null;
    modelVariance: number;
}

/** How the slopes of one angle along one axis differ between chassis; in deg/mm and their squares. */
interface SlopePopulation {
    chassisCount: number;
    /** Mean ratio of CR2 variance to model variance, weighted by df, at least 1. */
    dispersion: number;
    /** Degrees of freedom that the model variance is worth. */
    modelDf: number;
    pauleMandelMean: number | null;
    pauleMandelVariance: number | null;
    /** Posterior mean of the population's mean, and its variance. */
    mean: number;
    meanVariance: number;
    /** Posterior mean of the variance between chassis. */
    between: number;
    /** Degrees of freedom of `between`, which is a multiple of chi-square. */
    betweenDf: number;
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
 * Population of `slopes`, in an order of their values. The sampling variance of a slope is its CR2 variance averaged with the model
 * variance, each at the weight of its degrees of freedom ({@link modelTrust}); mean and between-variance are those of
 * {@link betweenChassis}, where half the squared spread of the `prior` is the variance of the mean and the squared scale of the
 * half-t. Without any slope the two halves are what is known.
 */
export function slopePopulation(
    slopes: readonly ChassisSlope[],
    prior: { mean: number; sd: number },
): SlopePopulation {
    const half = prior.sd ** 2 / 2;
    const trust = modelTrust(
        slopes.flatMap(({ clusterVariance, df, modelVariance }) =>
            clusterVariance === null || df === null || !(clusterVariance > 1e-14)
                ? []
                : [{ ratio: clusterVariance / modelVariance, df }],
        ),
    );
    if (slopes.length === 0) {
        return {
            chassisCount: 0,
            dispersion: 1,
            modelDf: trust.df,
            pauleMandelMean: null,
            pauleMandelVariance: null,
            mean: prior.mean,
            meanVariance: half,
            between: half,
            betweenDf: 4,
        };
    }
    const judged = slopes.map(({ estimate, clusterVariance, df, modelVariance }) => {
        const known = clusterVariance === null ? 0 : df!;
        const model = trust.dispersion * modelVariance;
        const variance = ((clusterVariance ?? 0) * known + trust.df * model) / (known + trust.df);
        return { estimate, variance: Math.max(variance, 1e-14), df: known + trust.df };
    });
    const moments = pauleMandel(judged);
    const { mean, meanVariance, between, df } = betweenChassis(judged, { mean: prior.mean, variance: half });
    return {
        chassisCount: slopes.length,
        dispersion: dispersionOf(slopes),
        modelDf: trust.df,
        pauleMandelMean: moments.mean,
        pauleMandelVariance: slopes.length > 1 ? moments.between : null,
        mean,
        meanVariance,
        between,
        betweenDf: df,
    };
}
