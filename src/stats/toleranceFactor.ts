import { chiSquareCdf, chiSquareQuantile } from './chiSquare.js';
import { gammaLn } from './gammaLn.js';
import { gaussLegendreRule } from './gaussLegendre.js';
import { normalCdf, normalQuantile } from './normal.js';

/** Standard errors of the mean beyond which its density does not count: 6e-14 is left out. */
const REACH = 7.5;

/**
 * The x > 0 where an increasing function is 0, from `start`, by Newton's method; `at` gives its value and its slope. Once a step is below
 * 1e-7 of x, the next one would not show.
 */
function newton(at: (x: number) => readonly [number, number], start: number): number {
    let x = start;
    for (let step = 0; step < 100; step++) {
        const [value, slope] = at(x);
        const next = value === 0 ? x : Math.min(Math.max(x - value / slope, x / 1.5), 1.5 * x);
        if (Math.abs(next - x) <= 1e-7 * x) return next;
        x = next;
    }
    return x;
}

/** P(-x <= N <= x). */
const centralShare = (x: number) => normalCdf(x) - normalCdf(-x);

const normalDensity = (x: number) => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);

/** The r with Phi(x + r) - Phi(x - r) = coverage, x >= 0, from `start`. */
const halfWidth = (x: number, coverage: number, start: number) =>
    newton(
        (r) => [normalCdf(x + r) - normalCdf(x - r) - coverage, normalDensity(x + r) + normalDensity(x - r)],
        start,
    );

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
 * that holds `coverage`, by parts, so that a node costs a density; Gauss-Legendre with pieces as fine as s is sharp. Not
 * Howe's approximation, which only starts it.
 */
export function toleranceFactor(n: number, df: number, coverage: number, confidence: number): number {
    if (!inDomain(n, df, coverage, confidence)) return Number.NaN;
    const pieces = Math.max(3, Math.ceil(2 * Math.sqrt(df / n)));
    const reach = REACH / Math.sqrt(n);
    const central = normalQuantile((1 + coverage) / 2);
    let [before, half] = [0, central];
    /** r and dr/dx = tanh(x r). */
    const widthAt = (x: number) => {
        const middle = half + ((x - before) / 2) * Math.tanh(before * half);
        const near = half + (x - before) * Math.tanh(((x + before) / 2) * middle);
        half = halfWidth(x, coverage, near);
        before = x;
        return [half, Math.tanh(x * half)] as const;
    };
    const nodes = gaussLegendreRule(0, reach, pieces).map(([x, width]) => {
        const [r, growth] = widthAt(x);
        return {
            need: df * r * r,
            weight: width * Math.sqrt((2 * n) / Math.PI) * Math.exp((-n * x * x) / 2),
            rise: width * centralShare(Math.sqrt(n) * x) * 2 * df * r * growth,
        };
    });
    const last = df * widthAt(reach)[0] ** 2;
    const logScale = (df / 2) * Math.LN2 + gammaLn(df / 2);
    const density = (x: number) => Math.exp((df / 2 - 1) * Math.log(x) - x / 2 - logScale);
    const excess = (k: number) => {
        const square = k * k;
        let value = 1 - chiSquareCdf(last / square, df) - confidence;
        let slope = 0;
        for (const { need, weight, rise } of nodes) {
            const x = need / square;
            const at = density(x);
            value += (rise * at) / square;
            slope += (weight * at * 2 * x) / k;
        }
        return [value, slope] as const;
    };
    const howe = central * Math.sqrt((df * (1 + 1 / n)) / chiSquareQuantile(1 - confidence, df));
    if (!Number.isFinite(howe)) return Number.NaN;
    return newton(excess, howe);
}
