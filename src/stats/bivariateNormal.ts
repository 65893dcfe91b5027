import { gaussLegendre20 } from './gaussLegendre.js';
import { normalCdf } from './normal.js';

/** Beyond this a standard normal variable does not go in double precision; keeps infinite limits out of the formulas. */
const FAR = 40;

/** P(X > h, Y > k) for standard normal X, Y with correlation r (|r| < 0.925): Drezner and Wesolowsky's integral. */
function upperBySine(h: number, k: number, r: number): number {
    const angle = Math.asin(r);
    let sum = 0;
    for (const [x, w] of gaussLegendre20) {
        const sine = Math.sin((angle * (x + 1)) / 2);
        sum += w * Math.exp((sine * h * k - (h * h + k * k) / 2) / (1 - sine * sine));
    }
    return (sum * angle) / (4 * Math.PI) + normalCdf(-h) * normalCdf(-k);
}

/** The same for |r| >= 0.925: Genz's modification, which takes the singular part of the integrand out. */
function upperNearOne(h: number, y: number, r: number): number {
    const k = r < 0 ? -y : y;
    const hk = h * k;
    let sum = 0;
    if (Math.abs(r) < 1) {
        const square = (1 - r) * (1 + r);
        const root = Math.sqrt(square);
        const gap = (h - k) ** 2;
        const c = (4 - hk) / 8;
        const d = (12 - hk) / 16;
        const exponent = -(gap / square + hk) / 2;
        if (exponent > -100) {
            sum =
                root *
                Math.exp(exponent) *
                (1 - (c * (gap - square) * (1 - (d * gap) / 5)) / 3 + (c * d * square * square) / 5);
        }
        if (-hk < 100) {
            const distance = Math.sqrt(gap);
            sum -=
                Math.exp(-hk / 2) *
                Math.sqrt(2 * Math.PI) *
                normalCdf(-distance / root) *
                distance *
                (1 - (c * gap * (1 - (d * gap) / 5)) / 3);
        }
        const a = root / 2;
        for (const [x, w] of gaussLegendre20) {
            const xs = (a * (x + 1)) ** 2;
            const rs = Math.sqrt(1 - xs);
            const power = -(gap / xs + hk) / 2;
            if (power > -100) {
                sum +=
                    a *
                    w *
                    Math.exp(power) *
                    (Math.exp((-hk * (1 - rs)) / (2 * (1 + rs))) / rs - (1 + c * xs * (1 + d * xs)));
            }
        }
        sum = -sum / (2 * Math.PI);
    }
    if (r > 0) return sum + normalCdf(-Math.max(h, k));
    return -sum + (k > h ? normalCdf(k) - normalCdf(h) : 0);
}

/**
 * P(X <= x, Y <= y) for standard normal X and Y with correlation `r` in -1..1; infinite limits are allowed, NaN for
 * any other `r`. Genz (2004), Numerical computation of rectangular bivariate and trivariate normal and t probabilities, Statistics and
 * Computing 14, 251-260, function BVND, 20 points throughout; absolute error about 1e-15.
 */
export function bivariateNormalCdf(x: number, y: number, r: number): number {
    if (Number.isNaN(x) || Number.isNaN(y) || !(Math.abs(r) <= 1)) return Number.NaN;
    const h = Math.max(-FAR, Math.min(FAR, -x));
    const k = Math.max(-FAR, Math.min(FAR, -y));
    const p = Math.abs(r) < 0.925 ? upperBySine(h, k, r) : upperNearOne(h, k, r);
    return Math.max(0, Math.min(1, p));
}

/**
 * P(lowX <= X <= highX, lowY <= Y <= highY) for standard normal X and Y with correlation `r`; 0 for an empty rectangle,
 * NaN unless -1 <= r <= 1. Exact to about 1e-15 absolutely, not relatively.
 */
export function bivariateNormalRectangle(
    lowX: number,
    highX: number,
    lowY: number,
    highY: number,
    r: number,
): number {
    if (lowX >= highX || lowY >= highY) return 0;
    const p =
        bivariateNormalCdf(highX, highY, r) -
        bivariateNormalCdf(lowX, highY, r) -
        bivariateNormalCdf(highX, lowY, r) +
        bivariateNormalCdf(lowX, lowY, r);
    return Math.max(0, Math.min(1, p));
}
