import { normalCdf } from './normal.js';

/** A corner of which it is only known that it lies past `limit` along the direction d (length 1): d, the place across it, the limit. */
export type Censored = readonly [dOut: number, dAft: number, out: number, aft: number, limit: number];

/** Mean and variance of a standard normal above `a` (Johnson, Kotz and Balakrishnan 1994, 13.10.1). */
function tail(a: number) {
    if (a >= 30) return { mean: a + 1 / a, variance: 1 / (a * a) };
    const mean = Math.exp((-a * a) / 2) / Math.sqrt(2 * Math.PI) / normalCdf(-a);
    return { mean, variance: Math.max(1 + a * mean - mean * mean, 0) };
}

/**
 * Bivariate normal by maximum likelihood, divisor n, from values known in full and censored ones: EM with the mean and variance of the
 * truncated conditional normal (Tobin 1958, Econometrica 26, 24-36; Dempster, Laird and Rubin 1977, J. R. Statist. Soc. B 39, 1-38).
 * `count`: both together, 2 known in full at least; `squares`: sums of squares and products of these about their mean, `centre`. The mean
 * of the result is what is to be added to `centre`.
 */
export function censoredNormal(
    count: number,
    squares: readonly [oo: number, oa: number, aa: number],
    centre: readonly [out: number, aft: number],
    censored: readonly Censored[],
) {
    const n = count - censored.length;
    let [out, aft, stepCount, isSettled] = [0, 0, 0, censored.length === 0];
    let [oo, oa, aa] = [squares[0] / n, squares[1] / n, squares[2] / n];
    for (; !isSettled && stepCount < 1000; stepCount++) {
        let [sumOut, sumAft, sumOo, sumOa, sumAa] = [0, 0, ...squares];
        for (const [dOut, dAft, placeOut, placeAft, end] of censored) {
            const across = (placeAft - centre[1]) * dOut - (placeOut - centre[0]) * dAft;
            const limit = end - centre[0] * dOut - centre[1] * dAft;
            const varAlong = dOut * dOut * oo + 2 * dOut * dAft * oa + dAft * dAft * aa;
            const varAcross = dOut * dOut * aa - 2 * dOut * dAft * oa + dAft * dAft * oo;
            const cov = (dOut * dOut - dAft * dAft) * oa + dOut * dAft * (aa - oo);
            const slope = varAcross > 1e-9 ? cov / varAcross : 0;
            const middle = dOut * out + dAft * aft + slope * (across - dOut * aft + dAft * out);
            const sd = Math.sqrt(Math.max(varAlong - slope * cov, 1e-9));
            const { mean, variance } = tail((limit - middle) / sd);
            const [along, rest] = [middle + sd * mean, sd * sd * variance];
            const [o, a] = [dOut * along - dAft * across, dAft * along + dOut * across];
            sumOut += o;
            sumAft += a;
            sumOo += o * o + dOut * dOut * rest;
            sumOa += o * a + dOut * dAft * rest;
            sumAa += a * a + dAft * dAft * rest;
        }
        const [newOut, newAft] = [sumOut / count, sumAft / count];
        const [newOo, newAa] = [sumOo / count - newOut * newOut, sumAa / count - newAft * newAft];
        isSettled =
            Math.abs(newOut - out) + Math.abs(newAft - aft) < 1e-7 &&
            Math.abs(newOo - oo) + Math.abs(newAa - aa) < 1e-6;
        [out, aft, oo, oa, aa] = [newOut, newAft, newOo, sumOa / count - newOut * newAft, newAa];
    }
    return { out, aft, oo, oa, aa, stepCount };
}
