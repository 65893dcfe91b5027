import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bivariateNormalCdf, bivariateNormalRectangle } from '../../src/stats/bivariateNormal.js';
import { normalCdf } from '../../src/stats/normal.js';

const INF = Number.POSITIVE_INFINITY;

// Haug (1998), The Complete Guide to Option Pricing Formulas, p. 193, as quoted in the distribution tests of the public
// repository lballabio/QuantLib: P(X <= x, Y <= y) for r = -0.5, 0, 0.5. Its own method holds six decimals.
test.each([
    [0, 0, 0.166667, 0.25, 1 / 3],
    [0, -0.5, 0.08166, 0.154269, 0.226878],
    [0, 0.5, 0.273122, 0.345731, 0.41834],
    [-0.5, 0, 0.08166, 0.154269, 0.226878],
    [-0.5, -0.5, 0.036298, 0.095195, 0.163319],
    [-0.5, 0.5, 0.145218, 0.213342, 0.272239],
    [0.5, 0, 0.273122, 0.345731, 0.41834],
    [0.5, -0.5, 0.145218, 0.213342, 0.272239],
    [0.5, 0.5, 0.419223, 0.47812, 0.546244],
])('published table at (%d, %d)', (x, y, negative, none, positive) => {
    for (const [r, value] of [
        [-0.5, negative],
        [0, none],
        [0.5, positive],
    ] as const) {
        expect(Math.abs(bivariateNormalCdf(x, y, r) - value), `r = ${r}`).toBeLessThan(1.01e-6);
    }
});

test("at the origin 1/4 + asin(r) / (2 pi): Sheppard's theorem of 1899", () => {
    for (let r = -1; r <= 1; r += 1 / 64) {
        expect(bivariateNormalCdf(0, 0, r)).toBeCloseTo(0.25 + Math.asin(r) / (2 * Math.PI), 14);
    }
});

test('limits: no bound, no room, full correlation', () => {
    expect(bivariateNormalCdf(INF, 0.4, 0.3)).toBeCloseTo(normalCdf(0.4), 15);
    expect(bivariateNormalCdf(-INF, 0.4, -0.99)).toBe(0);
    expect(bivariateNormalCdf(0.3, 0.5, 1)).toBeCloseTo(normalCdf(0.3), 15);
    expect(bivariateNormalCdf(0.3, 0.5, -1)).toBeCloseTo(normalCdf(0.3) - normalCdf(-0.5), 15);
    expect(bivariateNormalRectangle(-INF, INF, -INF, INF, 0.7)).toBe(1);
    expect(bivariateNormalRectangle(1, 1, -1, 1, 0.7)).toBe(0);
    expect(bivariateNormalRectangle(2, 1, -1, 1, 0.7)).toBe(0);
    expect(bivariateNormalCdf(0, 0, 1.001)).toBeNaN();
    expect(bivariateNormalCdf(Number.NaN, 0, -0.99)).toBeNaN();
});

test('rectangles: mirror, order of the axes, independence, sum of the parts', () => {
    const side = fc.double({ min: -6, max: 6, noNaN: true });
    const r = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
        fc.property(side, side, side, side, r, (a, b, c, d, rho) => {
            const [left, right, low, high] = [Math.min(a, b), Math.max(a, b), Math.min(c, d), Math.max(c, d)];
            const p = bivariateNormalRectangle(left, right, low, high, rho);
            expect(bivariateNormalRectangle(-right, -left, low, high, -rho)).toBeCloseTo(p, 13);
            expect(bivariateNormalRectangle(low, high, left, right, rho)).toBeCloseTo(p, 13);
            const middle = (left + right) / 2;
            const parts =
                bivariateNormalRectangle(left, middle, low, high, rho) +
                bivariateNormalRectangle(middle, right, low, high, rho);
            expect(parts).toBeCloseTo(p, 13);
            const product = (normalCdf(right) - normalCdf(left)) * (normalCdf(high) - normalCdf(low));
            expect(bivariateNormalRectangle(left, right, low, high, 0)).toBeCloseTo(product, 13);
        }),
        { seed: 20260707, numRuns: 300 },
    );
});
