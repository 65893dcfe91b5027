import { determinant, type Pair, quadratic, type Symmetric, times, zero } from './plane.js';

/** What one vehicle says: weighted sums over its moves. */
interface Cluster {
    /** Sum of squares, mm2. */
    xx: Symmetric;
    /** What free constants beside the slopes take from the variance of the score, mm2; undefined: none. */
    lost?: Symmetric | undefined;
    /** Score at the estimate: sum of w * move * residual, mm.deg. */
    score: Pair;
}

interface ClusterVariance {
    /** CR2 covariance of the two slopes, without the factor of the robust weights. */
    variance: Symmetric;
    /** Satterthwaite degrees of freedom under independent errors; null where no residual is left. */
    df: { out: number | null; aft: number | null };
    /** Share of the axis' variance that the clusters leave to be judged, 0 where one cluster carries it all. */
    left: Pair;
}

/** Lower Cholesky factor of the inverse of `matrix`; an axis that is 0 stays 0. */
function factorOfInverse(matrix: Symmetric) {
    if (matrix.oo > 0 && matrix.aa > 0) {
        const det = determinant(matrix);
        return {
            oo: Math.sqrt(matrix.aa / det),
            ao: -matrix.oa / Math.sqrt(matrix.aa * det),
            aa: Math.sqrt(1 / matrix.aa),
        };
    }
    return {
        oo: matrix.oo > 0 ? Math.sqrt(1 / matrix.oo) : 0,
        ao: 0,
        aa: matrix.aa > 0 ? Math.sqrt(1 / matrix.aa) : 0,
    };
}

/** Inverse square root of a positive semi-definite matrix; a zero eigenvalue is left out. */
function inverseRoot(matrix: Symmetric): Symmetric {
    const det = Math.max(determinant(matrix), 0);
    const trace = matrix.oo + matrix.aa;
    if (det > Math.max(1e-10, 1e-8 * trace * trace)) {
        const root = Math.sqrt(det);
        const spread = root * Math.sqrt(Math.max(trace + 2 * root, 0));
        return { oo: (matrix.aa + root) / spread, oa: -matrix.oa / spread, aa: (matrix.oo + root) / spread };
    }
    if (trace <= 1e-6) return zero();
    const spread = trace * Math.sqrt(trace);
    return { oo: matrix.oo / spread, oa: matrix.oa / spread, aa: matrix.aa / spread };
}

/** Square root of a positive semi-definite matrix. */
function root(matrix: Symmetric): Symmetric {
    const s = Math.sqrt(Math.max(determinant(matrix), 0));
    const spread = Math.sqrt(Math.max(matrix.oo + matrix.aa + 2 * s, 0));
    return spread > 0
        ? { oo: (matrix.oo + s) / spread, oa: matrix.oa / spread, aa: (matrix.aa + s) / spread }
        : zero();
}

/** L' A L, with L lower triangular. */
const between = (l: { oo: number; ao: number; aa: number }, a: Symmetric): Symmetric => ({
    oo: l.oo * l.oo * a.oo + 2 * l.oo * l.ao * a.oa + l.ao * l.ao * a.aa,
    oa: l.aa * (l.oo * a.oa + l.ao * a.aa),
    aa: l.aa * l.aa * a.aa,
});

/**
 * The score of a cluster, adjusted where the fit has constants beside the slopes: with K = L'CL and N = L' lost L the score's variance
 * under independent errors is K - K^2 - N in place of K, so L K^1/2 (K - K^2 - N)^-1/2 L' takes the place of L (I - K)^-1/2 L'.
 */
function besideConstants(
    l: { oo: number; ao: number; aa: number },
    xx: Symmetric,
    lost: Symmetric,
    score: Pair,
): Pair {
    const whole = between(l, xx);
    const size = whole.oo + whole.aa;
    if (!(size > 0)) return { out: 0, aft: 0 };
    // Both in units of the cluster's own share, so that a small one is no singular one.
    const by = ({ oo, oa, aa }: Symmetric): Symmetric => ({ oo: oo / size, oa: oa / size, aa: aa / size });
    const k = by(whole);
    const n = by(between(l, lost));
    const left = {
        oo: k.oo - size * (k.oo * k.oo + k.oa * k.oa) - n.oo,
        oa: k.oa - size * k.oa * (k.oo + k.aa) - n.oa,
        aa: k.aa - size * (k.oa * k.oa + k.aa * k.aa) - n.aa,
    };
    const own = { out: l.oo * score.out + l.ao * score.aft, aft: l.aa * score.aft };
    const adjusted = times(root(k), times(inverseRoot(left), own));
    return { out: l.oo * adjusted.out, aft: l.ao * adjusted.out + l.aa * adjusted.aft };
}

/**
 * Cluster-robust covariance of two slopes through the origin with the CR2 adjustment and Satterthwaite degrees of freedom (Bell and
 * McCaffrey 2002; Pustejovsky and Tipton 2018, equations 6-11). CR2 and not CR1 because fleets of 5 to 15 cars with one that moved far
 * more than the rest are usual, where CR1 with G - 1 degrees of freedom is too narrow.
 * `raw`: sum of squares over all clusters, zero on an axis left out; `used`: the inverse of the matrix that the slopes were solved
 * with, which differs from that of `raw` where errors of the moves were taken off. `clusters` in an order of values alone.
 */
export function clusterRobust(
    raw: Symmetric,
    used: Symmetric,
    clusters: readonly Cluster[],
): ClusterVariance {
    const l = factorOfInverse(raw);
    const m: Symmetric = { oo: l.oo * l.oo, oa: l.oo * l.ao, aa: l.ao * l.ao + l.aa * l.aa };
    const variance = zero();
    const [bbOut, bbAft] = [zero(), zero()];
    const [trace, square] = [
        { out: 0, aft: 0 },
        { out: 0, aft: 0 },
    ];
    for (const { xx, lost, score } of clusters) {
        // I - L'CL, its inverse root H, and Q = L H L'.
        const h = inverseRoot({
            oo: 1 - (l.oo * l.oo * xx.oo + 2 * l.oo * l.ao * xx.oa + l.ao * l.ao * xx.aa),
            oa: -l.aa * (l.oo * xx.oa + l.ao * xx.aa),
            aa: 1 - l.aa * l.aa * xx.aa,
        });
        const q: Symmetric = {
            oo: l.oo * l.oo * h.oo,
            oa: l.oo * (h.oo * l.ao + h.oa * l.aa),
            aa: l.ao * (l.ao * h.oo + l.aa * h.oa) + l.aa * (l.ao * h.oa + l.aa * h.aa),
        };
        const influence = times(
            used,
            times(raw, lost === undefined ? times(q, score) : besideConstants(l, xx, lost, score)),
        );
        variance.oo += influence.out * influence.out;
        variance.oa += influence.out * influence.aft;
        variance.aa += influence.aft * influence.aft;
        // Rows of B = Q C.
        const bOut = times(xx, { out: q.oo, aft: q.oa });
        const bAft = times(xx, { out: q.oa, aft: q.aa });
        const alphaOut = q.oo * bOut.out + q.oa * bOut.aft;
        const alphaAft = q.oa * bAft.out + q.aa * bAft.aft;
        const [bmbOut, bmbAft] = [quadratic(m, bOut), quadratic(m, bAft)];
        trace.out += alphaOut - bmbOut;
        trace.aft += alphaAft - bmbAft;
        square.out += alphaOut * (alphaOut - 2 * bmbOut);
        square.aft += alphaAft * (alphaAft - 2 * bmbAft);
        addOuter(bbOut, bOut);
        addOuter(bbAft, bAft);
    }
    const df = (traced: number, squared: number, bb: Symmetric) => {
        const all = squared + traceOfSquare(m, bb);
        return all === 0 ? null : traced ** 2 / all;
    };
    return {
        variance,
        df: { out: df(trace.out, square.out, bbOut), aft: df(trace.aft, square.aft, bbAft) },
        left: {
            out: m.oo > 0 ? trace.out / m.oo : 0,
            aft: m.aa > 0 ? trace.aft / m.aa : 0,
        },
    };
}

function addOuter(sum: Symmetric, { out, aft }: Pair): void {
    sum.oo += out * out;
    sum.oa += out * aft;
    sum.aa += aft * aft;
}

/** Trace of (m b)^2. */
function traceOfSquare(m: Symmetric, b: Symmetric): number {
    const first = times(m, { out: b.oo, aft: b.oa });
    const second = times(m, { out: b.oa, aft: b.aa });
    return first.out ** 2 + 2 * first.aft * second.out + second.aft ** 2;
}
