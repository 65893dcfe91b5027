import fc from 'fast-check';
import { expect, test } from 'vitest';
import { sqlFunctions } from '../../src/stats/sqlFunctions.js';

const seed = 20260707;
const share = fc.double({ min: 1e-8, max: 1 - 1e-8, noNaN: true });
const powerOfTen = (low: number, high: number) =>
    fc.double({ min: low, max: high, noNaN: true }).map((power) => 10 ** power);
const df = powerOfTen(-0.5, 6);
const shape = powerOfTen(-0.3, 4);

const families: Record<string, fc.Arbitrary<number[]>> = {
    normal: fc.constant([]),
    t: fc.tuple(df),
    chi2: fc.tuple(df),
    f: fc.tuple(shape, shape),
    // Below 1 the density is infinite at the ends, and a double near 1 cannot hold the quantile.
    beta: fc.tuple(powerOfTen(0, 4), powerOfTen(0, 4)),
};

test.each(Object.keys(families))('%s: cdf(quantile(p)) = p, and quantiles rise with p', (family) => {
    const quantile = sqlFunctions[`${family}_quantile`]!;
    const cdf = sqlFunctions[`${family}_cdf`]!;
    fc.assert(
        fc.property(share, share, families[family]!, (p, q, parameters) => {
            const x = quantile(p, ...parameters);
            expect(Math.abs(cdf(x, ...parameters) - p)).toBeLessThan(1e-10);
            if (p < q) expect(quantile(q, ...parameters)).toBeGreaterThanOrEqual(x);
        }),
        { seed, numRuns: 300 },
    );
});

test.each(['normal', 't'])('%s is symmetric about 0', (family) => {
    const quantile = sqlFunctions[`${family}_quantile`]!;
    fc.assert(
        fc.property(fc.integer({ min: 1, max: 511 }), families[family]!, (k, parameters) => {
            const [low, high] = [quantile(k / 1024, ...parameters), quantile(1 - k / 1024, ...parameters)];
            expect(Math.abs(low + high)).toBeLessThanOrEqual(1e-13 * high);
        }),
        { seed, numRuns: 100 },
    );
});

test('F is the square of t, and beta the share that F makes: identities of any textbook', () => {
    const { t_quantile, f_quantile, beta_quantile } = sqlFunctions;
    fc.assert(
        fc.property(fc.double({ min: 0.001, max: 0.999, noNaN: true }), shape, shape, (p, a, b) => {
            expect(f_quantile!(p, 1, a) / t_quantile!((1 + p) / 2, a) ** 2).toBeCloseTo(1, 9);
            const x = f_quantile!(p, a, b);
            expect((a * x) / (a * x + b)).toBeCloseTo(beta_quantile!(p, a / 2, b / 2), 10);
        }),
        { seed, numRuns: 200 },
    );
});
