import { afterAll, beforeAll, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';
import { logMixed, misfit, varianceGain } from '../../src/stats/checks/densities.js';

let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
});
afterAll(() => db.close());

/** Standard deviations of 0.01 to 2 deg, residuals from none to 6 of them and whole degrees. */
const angles = [0.01, 0.03, 0.1, 0.4, 2].flatMap((sd) =>
    [0, 0.5, 1, 2, 4, 6, 40].map((z) => ({ x: z * sd, variance: sd * sd })),
);

/** By how much the likelihood of a comparison gains more than its misfit says when all residuals become 0. */
const excess = (compared: typeof angles) => {
    const variances = compared.map(({ variance }) => variance);
    const residuals = compared.map(({ x }) => x);
    const atZero = residuals.map((x) => 0 * x);
    return logMixed(atZero, variances) - logMixed(residuals, variances) - misfit(residuals, variances);
};

test('no explanation makes one comparison likelier by more than its misfit', () => {
    for (const one of angles) expect(excess([one])).toBeLessThan(1e-9);
});

test('nor one of three angles, one of which may not have been read', () => {
    const unread = { x: Number.NaN, variance: 1 };
    for (const a of angles) {
        for (const b of angles)
            for (const c of [...angles, unread]) expect(excess([a, b, c])).toBeLessThan(1e-9);
    }
});

test('nor one whose variances it brings down to the least', () => {
    const within = angles.map((one, i) => ({ ...one, least: one.variance * (1 - 0.3 * (i % 3)) }));
    for (const a of within) {
        for (const b of within) {
            const gain = [a, b].reduce((sum, one) => sum + varianceGain(one.x, one.variance, one.least), 0);
            const least = logMixed([0, 0], [a.least, b.least]);
            const more = least - logMixed([0, 0], [a.variance, b.variance]);
            expect(excess([a, b]) + more - gain).toBeLessThan(1e-9);
        }
    }
    expect(varianceGain(Number.NaN, 4, 1)).toBe(0);
});

test('an angle that was not read counts for nothing', () => {
    expect(logMixed([0.3, Number.NaN], [0.04, 0.09])).toBe(logMixed([0.3], [0.04]));
    expect(logMixed([Number.NaN], [0.04])).toBeCloseTo(0, 15);
});

test('one residual has nine tenths of its normal density and, for the rest, half of it and half of a Cauchy', () => {
    const [x, sd] = [0.3, 0.2];
    const normal = Math.exp(-(x * x) / (2 * sd * sd)) / (sd * Math.sqrt(2 * Math.PI));
    const cauchy = 1 / (Math.PI * 0.4 * (1 + (x / 0.4) * (x / 0.4)));
    expect(Math.exp(logMixed([x], [sd * sd]))).toBeCloseTo(0.95 * normal + 0.05 * cauchy, 12);
});

test('the median of the others is the median without one value', async () => {
    const rows =
        await db.cells(`select n, own, median_of_others(n, sorted[n // 2], sorted[n // 2 + 1], sorted[n // 2 + 2], own) as found,
            (select median(x) from unnest(list_slice(levels, 1, place - 1) || list_slice(levels, place + 1, n)) as others(x)) as wanted
        from (
            select n, place, [cast(x * 7 % 11 % 5 as double) for x in range(1, n + 1)] as levels, levels[place] as own, list_sort(levels) as sorted
            from unnest(range(1, 8)) as counts(n), lateral (select unnest(range(1, n + 1)) as place)
        )`);
    expect(rows.length).toBe(28);
    for (const { found, wanted } of rows) expect(found).toBe(wanted);
});

test('the mean of three columns is exact_mean of their rows', async () => {
    const rows = await db.cells(`select mean_of_three(a, b, c) as found,
            (select exact_mean(x) from (values (a), (b), (c)) as three(x)) as wanted
        from (values (0.1, 0.25, -1.37), (2.5, null, 0.1234567), (null, null, 3.3), (null, null, null))
            as numbers(a, b, c)`);
    for (const { found, wanted } of rows) expect(found).toBe(wanted);
});
