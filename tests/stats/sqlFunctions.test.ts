import { createRequire } from 'node:module';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { registerStatistics, sqlFunctions } from '../../src/stats/sqlFunctions.js';

let db: Database;
beforeEach(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    registerStatistics(db.connection);
});
afterEach(() => db.close());

const answer = async (expression: string) => (await db.cells(`select ${expression} as value`))[0]!.value;
const names = Object.keys(sqlFunctions);

test('nothing of the library is loaded before a function is called', async () => {
    const { cache } = createRequire(import.meta.url);
    const loaded = () => Object.keys(cache).filter((file) => file.includes('@stdlib')).length;
    expect(loaded()).toBe(0);
    await answer('t_quantile(0.975, 3)');
    expect(loaded()).toBeGreaterThan(0);
});

test('takes whole numbers, decimals and columns without a cast', async () => {
    expect(await answer('t_quantile(0.975, 10)')).toBeCloseTo(2.228139, 6); // table value 2.228, NIST 1.3.6.7.2
    expect(await answer('normal_cdf(0)')).toBe(0.5);
    expect(
        await answer('(select tolerance_factor(count(*), count(*) - 1, 0.95, 0.95) from range(10))'),
    ).toBeCloseTo(
        3.3934, // table value 3.393, Odeh and Owen (1980)
        4,
    );
    expect(
        await answer("bivariate_normal_rectangle('-infinity'::double, 0, '-infinity'::double, 0, 0.5)"),
    ).toBeCloseTo(1 / 3, 15);
});

test.each(names)('%s: NULL or NaN in any place gives NULL', async (name) => {
    const arity = sqlFunctions[name]!.length;
    for (let place = 0; place < arity; place++) {
        for (const missing of ['null', "'nan'::double"]) {
            const list = Array.from({ length: arity }, (_, index) => (index === place ? missing : '0.5'));
            expect(await answer(`${name}(${list})`), `${name}(${list})`).toBeNull();
        }
    }
});

test.each([
    't_quantile(0, 5)',
    't_quantile(1, 5)',
    't_quantile(1.01, 5)',
    't_quantile(0.975, 0)',
    't_quantile(0.975, -1)',
    't_cdf(1, 0)',
    'chi2_quantile(-0.1, 5)',
    'chi2_quantile(0.95, 0)',
    "chi2_quantile(0.95, 'infinity'::double)",
    'f_quantile(0.95, 3, 0)',
    'normal_quantile(0)',
    'normal_quantile(1.5)',
    'beta_quantile(0.025, 0, 21)',
    'bivariate_normal_cdf(0, 0, 1.5)',
    'bivariate_normal_rectangle(-1, 1, -1, 1, -1.5)',
    'tolerance_factor(1, 0, 0.95, 0.95)',
    'tolerance_factor(10, 9, 1, 0.95)',
])('%s is NULL: outside the domain, or no finite value', async (expression) => {
    expect(await answer(expression)).toBeNull();
});

const corners = [
    '-infinity',
    '-1',
    '0',
    '1e-300',
    '1e-10',
    '0.5',
    '0.999',
    '1',
    '7.3',
    '1e6',
    '1e12',
    'infinity',
    'nan',
];

test.each(names)('%s never gives NaN or infinity', async (name) => {
    const arity = Math.min(sqlFunctions[name]!.length, 3);
    const list = corners.map((value) => `'${value}'::double`).join(', ');
    const sources = Array.from({ length: arity }, (_, index) => `unnested u${index}(x)`);
    const given = Array.from({ length: sqlFunctions[name]!.length }, (_, index) => `u${index % arity}.x`);
    const [row] = await db.cells(
        `with unnested as (select unnest([${list}]) as x),
        results as (select ${name}(${given}) as value from ${sources})
        select count(*) as row_count, count(value) as value_count,
            count(*) filter (where isnan(value) or isinf(value)) as bad_count
        from results`,
    );
    expect(row!.row_count).toBe(corners.length ** arity);
    expect(row!.value_count as number).toBeGreaterThan(0);
    expect(row!.bad_count).toBe(0);
});

test('rows keep their values across chunks, with NULLs between, for any thread count', async () => {
    const query = `select i, t_quantile(0.975, case when i % 7 > 0 then i / 100.0 end) as value
        from range(1, 10001) numbers(i) order by i`;
    const parallel = await db.cells(query);
    for (const { i, value } of parallel) {
        const wanted = (i as number) % 7 === 0 ? null : sqlFunctions.t_quantile!(0.975, (i as number) / 100);
        expect(value).toBe(Number.isFinite(wanted) ? wanted : null);
    }
    const single = await Database.open({ file: ':memory:', mode: 'create', threads: 1 });
    registerStatistics(single.connection);
    expect(await single.cells(query)).toEqual(parallel);
    single.close();
});

test('registering again changes nothing', async () => {
    registerStatistics(db.connection);
    expect(await answer('chi2_cdf(0, 3)')).toBe(0);
});
