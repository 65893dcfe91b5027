import { normalQuantile } from '../normal.js';
import { tQuantile } from '../studentT.js';
import { inverse, type Pair, type Symmetric, times, zero } from './plane.js';
import type { SlopeEstimate } from './slopeEstimate.js';

/** The population of both axes. */
export interface Populations {
    mean: Pair;
    meanVariance: Pair;
    between: Pair;
    dispersion: Pair;
}

/** What the estimate of a chassis is read from here. */
export type OwnSlopes = Pick<
    SlopeEstimate,
    'rank' | 'slope' | 'variance' | 'df' | 'xx' | 'xy' | 'noiseVariance'
>;

/** A variance known with few degrees of freedom counts as wider, so that normal limits with the result hold 95 %. */
function widening({ df }: OwnSlopes): number {
    const least = Math.min(df.out ?? df.aft ?? 0, df.aft ?? df.out ?? 0);
    return (tQuantile(0.975, least + 4) / normalQuantile(0.975)) ** 2;
}

/** Sampling covariance of a chassis with both slopes: the CR2 one with df degrees of freedom and the model's with four. */
function sampling({ variance, df, xx, noiseVariance }: OwnSlopes, { dispersion }: Populations): Symmetric {
    const { oo, oa, aa } = inverse(xx);
    const model = {
        oo: noiseVariance * dispersion.out * oo,
        oa: noiseVariance * Math.sqrt(dispersion.out * dispersion.aft) * oa,
        aa: noiseVariance * dispersion.aft * aa,
    };
    const least = variance.oa === null ? 0 : Math.min(df.out!, df.aft!);
    const share = least / (least + 4);
    return {
        oo: share * (variance.oo ?? 0) + (1 - share) * model.oo,
        oa: share * (variance.oa ?? 0) + (1 - share) * model.oa,
        aa: share * (variance.aa ?? 0) + (1 - share) * model.aa,
    };
}

/** Precision of one axis that alone was moved along. */
function onePrecision(variance: number | null, df: number | null, model: number): number {
    const known = variance === null ? 0 : df!;
    return (known + 4) / ((variance ?? 0) * known + 4 * model);
}

/** Precision of the chassis' own slopes, 0 along what it never moved, and that times the slopes. */
function information(own: OwnSlopes, populations: Populations): { precision: Symmetric; score: Pair } {
    const { rank, slope, variance, df, xx, xy, noiseVariance } = own;
    const { dispersion } = populations;
    const wide = widening(own);
    const scaled = ({ oo, oa, aa }: Symmetric): Symmetric => ({
        oo: oo / wide,
        oa: oa / wide,
        aa: aa / wide,
    });
    if (rank === 'line') {
        const noise = { out: noiseVariance * dispersion.out, aft: noiseVariance * dispersion.aft };
        const precision = scaled({
            oo: xx.oo / noise.out,
            oa: xx.oa / Math.sqrt(noise.out * noise.aft),
            aa: xx.aa / noise.aft,
        });
        return { precision, score: { out: xy.out / noise.out / wide, aft: xy.aft / noise.aft / wide } };
    }
    const precision = zero();
    if (rank === 'full') Object.assign(precision, inverse(sampling(own, populations)));
    if (rank === 'out')
        precision.oo = onePrecision(variance.oo, df.out, (noiseVariance * dispersion.out) / xx.oo);
    if (rank === 'aft')
        precision.aa = onePrecision(variance.aa, df.aft, (noiseVariance * dispersion.aft) / xx.aa);
    const widened = scaled(precision);
    return { precision: widened, score: times(widened, { out: slope.out ?? 0, aft: slope.aft ?? 0 }) };
}

/**
 * Empirical Bayes for the pair (out, aft): with precision P of the chassis' `own` data (null: none), between-chassis variance T and
 * population mean m, the posterior mean (I + TP)^-1 (T P b + m) and covariance (I + TP)^-1 T, with the variance of m carried through.
 */
export function shrunkSlopes(
    own: OwnSlopes | null,
    populations: Populations,
): { slope: Pair; variance: Symmetric } {
    const { mean, meanVariance, between: t } = populations;
    const { precision: p, score } =
        own === null ? { precision: zero(), score: { out: 0, aft: 0 } } : information(own, populations);
    const det = (1 + t.out * p.oo) * (1 + t.aft * p.aa) - t.out * t.aft * p.oa * p.oa;
    const g = {
        oo: (1 + t.aft * p.aa) / det,
        oa: (-t.out * p.oa) / det,
        ao: (-t.aft * p.oa) / det,
        aa: (1 + t.out * p.oo) / det,
    };
    const to = { out: t.out * score.out + mean.out, aft: t.aft * score.aft + mean.aft };
    return {
        slope: { out: g.oo * to.out + g.oa * to.aft, aft: g.ao * to.out + g.aa * to.aft },
        variance: {
            oo: g.oo * t.out + g.oo ** 2 * meanVariance.out + g.oa ** 2 * meanVariance.aft,
            oa: g.oa * t.aft + g.oo * g.ao * meanVariance.out + g.oa * g.aa * meanVariance.aft,
            aa: g.aa * t.aft + g.ao ** 2 * meanVariance.out + g.aa ** 2 * meanVariance.aft,
        },
    };
}
