import { chiSquareQuantile } from '../chiSquare.js';
import { normalQuantile } from '../normal.js';
import { tQuantile } from '../studentT.js';
import { WELL_KNOWN } from './betweenChassis.js';
import { inverse, type Pair, type Symmetric, times, zero } from './plane.js';
import type { SlopeEstimate } from './slopeEstimate.js';

/** The population of both axes. */
export interface Populations {
    mean: Pair;
    meanVariance: Pair;
    /** Equally likely values of the variance between chassis, see {@link likelyVariances}. */
    between: { out: readonly number[]; aft: readonly number[] };
    /** Of the model variance: see modelTrust. */
    dispersion: Pair;
    modelDf: Pair;
}

/** What the estimate of a chassis is read from here. */
export type OwnSlopes = Pick<
    SlopeEstimate,
    'rank' | 'slope' | 'variance' | 'df' | 'xx' | 'xy' | 'noiseVariance'
>;

/** A variance known with few degrees of freedom counts as wider, so that normal limits with the result hold 95 %. */
function widening({ df }: OwnSlopes, { modelDf }: Populations): number {
    const least = Math.min(df.out ?? df.aft ?? 0, df.aft ?? df.out ?? 0);
    return (tQuantile(0.975, Math.max(least + worth(modelDf), 2)) / normalQuantile(0.975)) ** 2;
}

/** The model variances of both axes come from one scale. */
const worth = ({ out, aft }: Pair) => Math.min(out, aft);

/**
 * Dispersion of each axis, drawn to their common one by the squared correlation of the moves: two scales along one line would turn what
 * the moves tell out of it.
 */
function dispersionsOf(xx: Symmetric, { out, aft }: Pair): Pair {
    const common = (out * xx.oo + aft * xx.aa) / (xx.oo + xx.aa);
    const alike = (xx.oa * xx.oa) / (xx.oo * xx.aa);
    return { out: out + alike * (common - out), aft: aft + alike * (common - aft) };
}

/** Sampling covariance of a chassis with both slopes: the CR2 one and the model's at the weight of their degrees of freedom. */
function sampling(
    { variance, df, xx, noiseVariance }: OwnSlopes,
    { dispersion, modelDf }: Populations,
): Symmetric {
    const { oo, oa, aa } = inverse(xx);
    const { out, aft } = dispersionsOf(xx, dispersion);
    const model = {
        oo: noiseVariance * out * oo,
        oa: noiseVariance * Math.sqrt(out * aft) * oa,
        aa: noiseVariance * aft * aa,
    };
    const least = variance.oa === null ? 0 : Math.min(df.out!, df.aft!);
    const share = least / (least + worth(modelDf));
    return {
        oo: share * (variance.oo ?? 0) + (1 - share) * model.oo,
        oa: share * (variance.oa ?? 0) + (1 - share) * model.oa,
        aa: share * (variance.aa ?? 0) + (1 - share) * model.aa,
    };
}

/** Precision of one axis that alone was moved along. */
function onePrecision(variance: number | null, df: number | null, model: number, modelDf: number): number {
    const known = variance === null ? 0 : df!;
    return (known + modelDf) / ((variance ?? 0) * known + modelDf * model);
}

/** Precision of the chassis' own slopes, 0 along what it never moved, and that times the slopes. */
function information(own: OwnSlopes, populations: Populations): { precision: Symmetric; score: Pair } {
    const { rank, slope, variance, df, xx, xy, noiseVariance } = own;
    const { dispersion, modelDf } = populations;
    const wide = widening(own, populations);
    const scaled = ({ oo, oa, aa }: Symmetric): Symmetric => ({
        oo: oo / wide,
        oa: oa / wide,
        aa: aa / wide,
    });
    if (rank === 'line') {
        const noise = noiseVariance * dispersionsOf(xx, dispersion).out * wide;
        return {
            precision: { oo: xx.oo / noise, oa: xx.oa / noise, aa: xx.aa / noise },
            score: { out: xy.out / noise, aft: xy.aft / noise },
        };
    }
    const precision = zero();
    if (rank === 'full') Object.assign(precision, inverse(sampling(own, populations)));
    if (rank === 'out')
        precision.oo = onePrecision(
            variance.oo,
            df.out,
            (noiseVariance * dispersion.out) / xx.oo,
            modelDf.out,
        );
    if (rank === 'aft')
        precision.aa = onePrecision(
            variance.aa,
            df.aft,
            (noiseVariance * dispersion.aft) / xx.aa,
            modelDf.aft,
        );
    const widened = scaled(precision);
    return { precision: widened, score: times(widened, { out: slope.out ?? 0, aft: slope.aft ?? 0 }) };
}

const NODES = 7;

/** Equally likely values of a variance that is a multiple of chi-square with `df` degrees of freedom and has `mean`; null: known. */
export function likelyVariances(mean: number, df: number | null): number[] {
    if (df === null || df >= WELL_KNOWN) return [mean];
    const nodes = Array.from({ length: NODES }, (_, i) => chiSquareQuantile((i + 0.5) / NODES, df));
    const sum = nodes.reduce((all, node) => all + node, 0);
    return nodes.map((node) => (mean * NODES * node) / sum);
}

interface Shrunk {
    slope: Pair;
    variance: Symmetric;
}

/** With precision P of the chassis' own data, between-variance T and mean m: mean (I + TP)^-1 (T P b + m), covariance (I + TP)^-1 T. */
function shrunkAt(p: Symmetric, score: Pair, t: Pair, { mean, meanVariance }: Populations): Shrunk {
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

/** Mean and covariance of equally likely normal distributions. */
function mixed(parts: readonly Shrunk[]): Shrunk {
    const average = (of: (part: Shrunk) => number) =>
        parts.reduce((sum, part) => sum + of(part), 0) / parts.length;
    const slope = { out: average((part) => part.slope.out), aft: average((part) => part.slope.aft) };
    const off = (part: Shrunk, axis: keyof Pair) => part.slope[axis] - slope[axis];
    return {
        slope,
        variance: {
            oo: average((part) => part.variance.oo + off(part, 'out') ** 2),
            oa: average((part) => part.variance.oa + off(part, 'out') * off(part, 'aft')),
            aa: average((part) => part.variance.aa + off(part, 'aft') ** 2),
        },
    };
}

/**
 * Posterior mean and covariance of the pair (out, aft) of a chassis with its `own` data (null: none), the uncertainty of the
 * population's mean carried through and the between-variances averaged over.
 */
export function shrunkSlopes(own: OwnSlopes | null, populations: Populations): Shrunk {
    const { between } = populations;
    const { precision, score } =
        own === null ? { precision: zero(), score: { out: 0, aft: 0 } } : information(own, populations);
    return mixed(
        between.out.flatMap((out) =>
            between.aft.map((aft) => shrunkAt(precision, score, { out, aft }, populations)),
        ),
    );
}
