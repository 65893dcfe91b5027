import { afterAll, beforeAll, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';

let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
    // Standard deviations of 0.01 to 2 deg, residuals from none to 6 of them and whole degrees.
    await db.run(`create temp table angles as
        select z * sd as x, sd * sd as var, sd * sd * (1 - 0.3 * (z % 3)) as least
        from (values (0.01), (0.03), (0.1), (0.4), (2)) as sds(sd), (values (0), (0.5), (1), (2), (4), (6), (40)) as zs(z)`);
});
afterAll(() => db.close());

/** Rows of `angles`, up to three of them beside each other, for which the gain is over the bound. */
async function over(gain: string, bound: string): Promise<unknown[]> {
    return db.cells(`select * from angles as a, angles as b, angles as c where ${gain} > ${bound} + 1e-9`);
}

test('no explanation makes one comparison likelier by more than its misfit', async () => {
    expect(
        await over('log_mixed_normal(0, a.var) - log_mixed_normal(a.x, a.var)', 'misfit(a.x, a.var)'),
    ).toEqual([]);
});

test('nor one of three angles, one of which may not have been read', async () => {
    for (const third of ['c.var', 'null']) {
        const [at, from] = [`0, ${third}`, `c.x, ${third}`];
        expect(
            await over(
                `log_mixed_three(0, a.var, 0, b.var, ${at}) - log_mixed_three(a.x, a.var, b.x, b.var, ${from})`,
                `misfit_of_three(a.x, a.var, b.x, b.var, ${from})`,
            ),
        ).toEqual([]);
    }
});

test('nor one whose variances it brings down to the least', async () => {
    expect(
        await over(
            `log_mixed_three(0, a.least, 0, b.least, 0, c.least) - log_mixed_three(a.x, a.var, b.x, b.var, c.x, c.var)`,
            'placed_misfit_of_three(a.x, a.var, a.least, b.x, b.var, b.least, c.x, c.var, c.least)',
        ),
    ).toEqual([]);
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

test('the exact sum of the others is the sum without one value', async () => {
    const [row] =
        await db.cells(`select sum_of_others(sum(micro(x)), 0.1) as less, sum_of_others(sum(micro(x)), null) as whole
        from (values (0.1), (0.25), (-1.37)) as numbers(x)`);
    expect(row).toEqual({ less: 250_000 - 1_370_000, whole: 100_000 + 250_000 - 1_370_000 });
});

test('the mean of three columns is exact_mean of their rows', async () => {
    const rows = await db.cells(`select mean_of_three(a, b, c) as found,
            (select exact_mean(x) from (values (a), (b), (c)) as three(x)) as wanted
        from (values (0.1, 0.25, -1.37), (2.5, null, 0.1234567), (null, null, 3.3), (null, null, null))
            as numbers(a, b, c)`);
    for (const { found, wanted } of rows) expect(found).toBe(wanted);
});
