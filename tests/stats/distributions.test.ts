import { expect, test } from 'vitest';
import { type CheckValue, checksOf, dataset } from '../../fixtures/reference/checks.js';
import { betaQuantile } from '../../src/stats/beta.js';
import { chiSquareCdf, chiSquareQuantile } from '../../src/stats/chiSquare.js';
import { fQuantile } from '../../src/stats/fisherF.js';
import { normalQuantile } from '../../src/stats/normal.js';
import { sqlFunctions } from '../../src/stats/sqlFunctions.js';
import { tQuantile } from '../../src/stats/studentT.js';

/** The numbers that follow the group's name in an id such as `chi2.0.95.10`, the first of them a share. */
const shareAnd = ({ id }: CheckValue) => {
    const [, whole, fraction, ...rest] = id.split('.');
    return [Number(`${whole}.${fraction}`), ...rest.map(Number)];
};

function expectPublished(checks: readonly CheckValue[], compute: (check: CheckValue) => number) {
    expect(checks.length).toBeGreaterThan(0);
    for (const check of checks) {
        expect(Math.abs(compute(check) - check.value), check.id).toBeLessThanOrEqual(check.tolerance);
    }
}

test('t quantiles of the table in NIST/SEMATECH e-Handbook 1.3.6.7.2 and of GUM H.1', () => {
    expectPublished(checksOf('t975.'), ({ id }) => {
        const df = id.split('.')[1]!;
        return tQuantile(0.975, df === 'gum' ? 16 : Number(df));
    });
});

test('chi-square quantiles of the table in NIST/SEMATECH e-Handbook 1.3.6.7.4 (digits from memory)', () => {
    expectPublished(checksOf('chi2.'), (check) => {
        const [p, df] = shareAnd(check);
        return chiSquareQuantile(p!, df!);
    });
});

test('F quantiles of the table in NIST/SEMATECH e-Handbook 1.3.6.7.3 (digits from memory)', () => {
    expectPublished(checksOf('F.'), (check) => {
        const [p, df1, df2] = shareAnd(check);
        return fQuantile(p!, df1!, df2!);
    });
});

test('Clopper-Pearson limits: Newcombe (1998) Table I method 5 (from memory), R package binom', () => {
    expectPublished([...checksOf('cp.'), ...checksOf('binom.exact.')], ({ id }) => {
        const [, k, n, limit] = /(\d+)_(\d+)\.(\w+)$/.exec(id)!;
        const [hits, count] = [Number(k), Number(n)];
        if (limit!.startsWith('lo')) return hits === 0 ? 0 : betaQuantile(0.025, hits, count - hits + 1);
        return hits === count ? 1 : betaQuantile(0.975, hits + 1, count - hits);
    });
});

// The library keeps 13 digits and more; 12 leave room for another machine's exp and log.
test.each([...new Set(dataset('distributions').map((row) => row.function!))])(
    '%s agrees with mpmath to 12 digits: fractional df, far tails, large df',
    (name) => {
        for (const { a, b, c, value } of dataset('distributions').filter((row) => row.function === name)) {
            const given = [a!, b!, c!].filter((cell) => cell !== '').map(Number);
            const error = Math.abs(sqlFunctions[name]!(...given) - Number(value));
            const scale = name === 'bivariate_normal_cdf' ? 1 : Math.abs(Number(value));
            expect(error, `${name}(${given})`).toBeLessThanOrEqual(1e-12 * scale);
        }
    },
);

test('t with very many degrees of freedom: Abramowitz and Stegun 26.7.5 (from memory), the normal limit', () => {
    const z = normalQuantile(0.975);
    expect(tQuantile(0.975, 1e6)).toBeCloseTo(z + (z ** 3 + z) / 4e6, 11);
    expect(tQuantile(0.975, 1e300)).toBe(z);
    expect(tQuantile(0.975, Number.POSITIVE_INFINITY)).toBe(z);
});

test('chi-square with very many degrees of freedom: median df - 2/3, the quantiles one through its own cdf', () => {
    expect(chiSquareQuantile(0.5, 1e6)).toBeCloseTo(1e6 - 2 / 3, 5);
    expect(chiSquareCdf(0, 5000)).toBe(0);
    expect(chiSquareCdf(-1, 5000)).toBe(0);
    expect(chiSquareCdf(1e9, 5000)).toBe(1);
    expect(chiSquareQuantile(0, 5000)).toBe(0);
    expect(chiSquareQuantile(1, 5000)).toBe(Number.POSITIVE_INFINITY);
});
