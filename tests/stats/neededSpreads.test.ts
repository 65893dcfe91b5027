import { expect, test } from 'vitest';
import { checksOf } from '../../fixtures/reference/checks.js';
import { neededSpreads } from '../../src/stats/tables/neededSpreads.js';

/** Sums of corners, one a car, without noise, of which nothing is censored and whose slopes are known. */
const sums = (count: number) => ({
    chassis: 'A',
    target: 'street',
    axis: 'out',
    corner_count: count,
    vehicle_count: count,
    censored_count: 0,
    set_apart_count: 0,
    mean_count: count,
    var_count: count,
    cross_count: 0,
    pair_count: 0,
    rho: 0,
    mean_mm: 2,
    var_ml: 9,
    noise_mm2: 0,
    slope_error_mm2: 0,
    bias_mm2: 0,
    slope_share_var: 0,
    through_slopes: null,
    needs: Array.from({ length: count }, (_, i) => i),
});

async function spreadOf(row: ReturnType<typeof sums>) {
    const batch = { names: Object.keys(row), columns: Object.values(row).map((value) => [value]) };
    const batches = (async function* () {
        yield batch;
    })();
    for await (const made of neededSpreads(batches, {}))
        return made as Record<string, number | string | null>;
    throw new Error('no row');
}

test('independent corners without noise: the factors of Odeh and Owen (1980), Table 3.4.1, and the variance with divisor n - 1', async () => {
    const factors = checksOf('tol2.oo.');
    expect(factors.length).toBeGreaterThan(5);
    for (const { id, value, tolerance } of factors) {
        const n = Number(id.split('.')[2]);
        const { tolerance_factor, n_mean, df, sd_mm, low_mm, high_mm, missing } = await spreadOf(sums(n));
        expect(missing, id).toBeNull();
        expect(n_mean, id).toBeCloseTo(n, 9);
        expect(df, id).toBeCloseTo(n - 1, 9);
        expect(Math.abs((tolerance_factor as number) - value), id).toBeLessThan(tolerance);
        const sd = 3 * Math.sqrt(n / (n - 1));
        expect(sd_mm, id).toBeCloseTo(sd, 9);
        expect(low_mm, id).toBeCloseTo(2 - (tolerance_factor as number) * sd, 9);
        expect(high_mm, id).toBeCloseTo(2 + (tolerance_factor as number) * sd, 9);
    }
});

test('less than one degree of freedom gives no interval: 3 corners of which noise makes three fifths', async () => {
    const noisy = { ...sums(3), noise_mm2: 0.6 * 13.5 };
    expect(await spreadOf(noisy)).toMatchObject({ low_mm: null, high_mm: null });
    const { sd_mm, missing } = await spreadOf(noisy);
    expect(sd_mm).toBeCloseTo(Math.sqrt(0.4 * 13.5), 9);
    expect(missing).toContain('too few corners');
});

// Wilks (1941), Annals of Mathematical Statistics 12, 91-96: 93 values, of which the least and the greatest are taken (from memory).
test('without a distribution the least and the greatest of 93 cars hold 95 % of cars, of 92 nothing does', async () => {
    expect(await spreadOf(sums(93))).toMatchObject({
        free_low_mm: 0,
        free_high_mm: 92,
        free_count_needed: 93,
    });
    expect(await spreadOf(sums(92))).toMatchObject({ free_low_mm: null, free_high_mm: null });
});

test('corners of one car that are wholly alike count as one', async () => {
    const pairs = { ...sums(40), vehicle_count: 20, pair_count: 20, rho: 1 };
    const { n_mean, df } = await spreadOf(pairs);
    expect(n_mean).toBeCloseTo(20, 9);
    expect(df).toBeCloseTo(19, 9);
});

test('a spread that is all noise is not told, nor what one car shows', async () => {
    expect(await spreadOf({ ...sums(20), noise_mm2: 9.4 })).toMatchObject({
        sd_mm: null,
        tolerance_factor: null,
        missing: 'the spread is no larger than the noise of the readings',
    });
    expect(await spreadOf({ ...sums(2), vehicle_count: 1 })).toMatchObject({
        tolerance_factor: null,
        missing: 'one car tells nothing of others',
    });
});
