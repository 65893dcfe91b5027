import { chiSquareCdf, chiSquareQuantile } from './chiSquare.js';
import { gaussLegendreRule } from './gaussLegendre.js';
import { normalCdf, normalQuantile } from './normal.js';
import { root } from './root.js';

/** Standard errors of the mean beyond which its density does not count in double precision. */
const REACH = 9;

/** The r with Phi(x + r) - Phi(x - r) = coverage, x >= 0. */
function halfWidth(x: number, coverage: number): number {
    const central = normalQuantile((1 + coverage) / 2);
    const excess = (r: number) => normalCdf(x + r) - normalCdf(x - r) - coverage;
    return root(excess, Math.max(central, x + normalQuantile(coverage)), x + central);
}

function inDomain(n: number, df: number, coverage: number, confidence: number): boolean {
    const isShare = (share: number) => share >= 1e-9 && share <= 1 - 1e-9;
    return n > 0 && df > 0 && df <= 100 * n && isShare(coverage) && isShare(confidence);
}

/**
 * Factor k of the two-sided normal tolerance interval, mean +- k s: with probability `confidence` it holds at least the
 * share `coverage` of the population. `n`: number of values in the mean, `df`: degrees of freedom of s, usually n - 1; both
 * > 0, need not be whole (effective numbers). NaN outside the domain, for df > 100 n, for a share within 1e-9 of 0 or 1, and
 * for a factor that a double cannot hold.
 *
 * ISO 16269-6:2014, Annex F (which rounds k up to four decimals); Odeh and Owen (1980), Tables for Normal Tolerance Limits:
 * the exact integral over the standardised error x of the mean of P(chi-square(df) >= df r(x)^2 / k^2), r the half-width
 * that holds `coverage`; Gauss-Legendre with pieces as fine as s is sharp. Not Howe's approximation, which only starts it.
 */
export function toleranceFactor(n: number, df: number, coverage: number, confidence: number): number {
    if (!inDomain(n, df, coverage, confidence)) return Number.NaN;
    const pieces = 3 * Math.ceil(Math.sqrt(df / n));
    const nodes = gaussLegendreRule(0, REACH / Math.sqrt(n), pieces).map(([x, width]) => ({
        need: df * halfWidth(x, coverage) ** 2,
        weight: width * Math.sqrt((2 * n) / Math.PI) * Math.exp((-n * x * x) / 2),
    }));
    const excess = (k: number) =>
        nodes.reduce((sum, { need, weight }) => sum + weight * (1 - chiSquareCdf(need / (k * k), df)), 0) -
        confidence;
    const howe =
        normalQuantile((1 + coverage) / 2) *
        Math.sqrt((df * (1 + 1 / n)) / chiSquareQuantile(1 - confidence, df));
    if (!Number.isFinite(howe)) return Number.NaN;
    let [low, high] = [howe, howe];
    while (excess(low) > 0) low /= 1.1;
    while (excess(high) < 0) high *= 1.1;
    return root(excess, low, high);
}
