import { gaussLegendreRule } from './gaussLegendre.js';
import { normalQuantile } from './normal.js';
import { root } from './root.js';

const unitRule = gaussLegendreRule(0, 1, 4);

/** Gamma(a) over Stirling's sqrt(2 pi / a) (a / e)^a, DLMF 5.11.3; a >= 500. */
function stirlingRatio(a: number): number {
    return 1 + 1 / (12 * a) + 1 / (288 * a * a) - 139 / (51840 * a * a * a);
}

/** ln of (1 + u) times the density of X / df at 1 + u, against that at 1; log1p keeps the digits that a would cancel. */
const exponent = (u: number, a: number) => a * (Math.log1p(u) - u);

/**
 * P(X <= x) of the chi-square distribution with df > 1000: its density, integrated over the smaller tail as far as it counts.
 * The library's own value is wrong here: its series of the incomplete gamma function for x > 2000 begins with a where it
 * should have a - 1, and P comes out as much as 0.01 too small.
 */
export function largeChiSquareCdf(x: number, df: number): number {
    const a = df / 2;
    const u = (x - df) / df;
    if (u <= -1) return 0;
    const z = Math.sqrt(-2 * exponent(u, a));
    const reach = (Math.sqrt(z * z + 100) - z) / Math.sqrt(a);
    const length = u < 0 ? -Math.min(reach, (1 + u) / 2) : reach;
    let sum = 0;
    for (const [share, weight] of unitRule) {
        const at = u + length * share;
        sum += (weight * Math.exp(exponent(at, a))) / (1 + at);
    }
    const tail = (Math.abs(length) * sum * Math.sqrt(a / (2 * Math.PI))) / stirlingRatio(a);
    return u < 0 ? tail : 1 - tail;
}

/** The x with P(X <= x) = p, 0 < p < 1, df > 1000; Wilson and Hilferty's cube root (1931) starts the search. */
export function largeChiSquareQuantile(p: number, df: number): number {
    const variance = 2 / (9 * df);
    const cubeRoot = 1 - variance + normalQuantile(p) * Math.sqrt(variance);
    const start = df * cubeRoot * cubeRoot * cubeRoot;
    const step = Math.sqrt(df) / 10;
    return root((x) => largeChiSquareCdf(x, df) - p, start - step, start + step);
}
