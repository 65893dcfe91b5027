import { expect, test } from 'vitest';
import { check, checksOf, dataset } from '../../fixtures/reference/checks.js';
import { chiSquareQuantile } from '../../src/stats/chiSquare.js';
import { normalQuantile } from '../../src/stats/normal.js';
import { toleranceFactor } from '../../src/stats/toleranceFactor.js';

test('ISO 16269-6:2014, Annex F: every sampled row; it rounds up to four decimals', () => {
    const rows = dataset('tol_twoside_iso16269');
    expect(rows.length).toBe(690);
    for (const row of rows) {
        const [coverage, confidence, samples] = [
            Number(row.coverage),
            Number(row.confidence),
            Number(row.m_samples),
        ];
        const n = Number(row.n);
        const k =
            row.n === 'np.inf'
                ? normalQuantile((1 + coverage) / 2)
                : toleranceFactor(n, samples * (n - 1), coverage, confidence);
        const label = `${row.table} n=${row.n} m=${row.m_samples}`;
        expect((Math.ceil(k * 1e4) / 1e4).toFixed(4), label).toBe(Number(row.k_published).toFixed(4));
        expect(Math.abs(k / Number(row.k_recomputed) - 1), label).toBeLessThan(1e-11);
    }
});

test('Odeh and Owen (1980) Table 3.4.1: coverage 0.95, confidence 0.95', () => {
    for (const { id, value, tolerance } of checksOf('tol2.oo.')) {
        const n = Number(id.split('.')[2]);
        expect(Math.abs(toleranceFactor(n, n - 1, 0.95, 0.95) - value), id).toBeLessThan(tolerance);
    }
});

test("NIST/SEMATECH e-Handbook 7.2.6.3: n = 43, where Howe's approximation falls short", () => {
    const { value, tolerance } = check('tol2.nist43');
    const exact = toleranceFactor(43, 42, 0.9, 0.99);
    expect(Math.abs(exact - value)).toBeLessThan(tolerance);
    const howe = normalQuantile(0.95) * Math.sqrt((42 * (1 + 1 / 43)) / chiSquareQuantile(0.01, 42));
    const printed = check('hb.7.2.6.3.k2_howe_r');
    expect(Math.abs(howe - printed.value)).toBeLessThan(printed.tolerance);
    expect(howe).toBeLessThan(exact);
});

test('effective numbers between whole ones lie between their factors', () => {
    const at = (n: number, df: number) => toleranceFactor(n, df, 0.95, 0.95);
    expect(at(12.5, 11.5)).toBeLessThan(at(12, 11));
    expect(at(12.5, 11.5)).toBeGreaterThan(at(13, 12));
    expect(at(12, 30)).toBeLessThan(at(12, 11));
    expect(at(1e6, 1e6)).toBeCloseTo(normalQuantile(0.975), 2);
});

test.each([
    [0, 5, 0.95, 0.95],
    [5, 0, 0.95, 0.95],
    [5, 4, 0, 0.95],
    [5, 4, 1, 0.95],
    [5, 4, 0.95, 1],
    [5, Number.NaN, 0.95, 0.95],
    [1, 101, 0.95, 0.95],
    [2, 0.001, 0.95, 0.95],
])('toleranceFactor(%d, %d, %d, %d) is outside its domain', (n, df, coverage, confidence) => {
    expect(toleranceFactor(n, df, coverage, confidence)).toBeNaN();
});
