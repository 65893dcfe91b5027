import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { check, checksOf } from '../../fixtures/reference/checks.js';
import { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';

let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
});
afterAll(() => db.close());

/** Value of one SQL expression. */
async function value(sql: string): Promise<number> {
    const [row] = await db.cells(`select cast(${sql} as double) as value`);
    return row!.value as number;
}

async function near(sql: string, id: string): Promise<void> {
    const { value: wanted, tolerance, source } = check(id);
    expect(Math.abs((await value(sql)) - wanted), `${sql} against ${id} (${source})`).toBeLessThanOrEqual(
        tolerance,
    );
}

describe('intervals of shares', () => {
    // Newcombe (1998), Statistics in Medicine 17, 857-872, table I, methods 3 and 5 (the latter's digits from memory).
    test.each(['81_263', '15_148', '0_20', '1_29'])('Newcombe, %s', async (id) => {
        const [k, n] = id.split('_');
        await near(`wilson_low(${k}, ${n})`, `wilson.${id}.lo`);
        await near(`wilson_high(${k}, ${n})`, `wilson.${id}.hi`);
        await near(`clopper_pearson_low(${k}, ${n})`, `cp.${id}.lo`);
        await near(`clopper_pearson_high(${k}, ${n})`, `cp.${id}.hi`);
    });

    // R package binom as published in the tests of statsmodels, ten digits.
    test.each(checksOf('binom.').map(({ id }) => id))('%s', async (id) => {
        const [, method, counts, side] = id.split('.');
        const [k, n] = counts!.split('_');
        const name = method === 'wilson' ? 'wilson' : 'clopper_pearson';
        await near(`${name}_${side === 'low' ? 'low' : 'high'}(${k}, ${n})`, id);
    });

    test('nothing tried: no interval', async () => {
        expect(await value('z_975() - normal_quantile(0.975)')).toBe(0);
        expect(await value('wilson_low(0, 0)')).toBeNull();
        expect(await value('clopper_pearson_high(0, 0)')).toBeNull();
    });
});

describe('conformity under measurement uncertainty', () => {
    // JCGM 106:2012, clause 7, worked examples (digits from memory).
    test('probability that a true value lies within limits', async () => {
        await near('p_within(-5.47, null, -5.40, 0.05)', 'jcgm106.zener');
        await near('p_within(509.7, 490, null, 8.6)', 'jcgm106.burst');
        await near('p_within(13.6, 12.5, 16.3, 1.8)', 'jcgm106.oil');
    });

    // JCGM 106:2012, table 1: the guard band of z u leaves a probability of conformity of p at the acceptance limit.
    test.each(['0.8', '0.9', '0.95', '0.99'])('a guard band of z u gives p = %s at its edge', async (p) => {
        const z = check(`jcgm106.table1.${p}`).value;
        expect(await value(`p_within(10 - ${z}, null, 10, 1)`)).toBeCloseTo(Number(p), 2);
    });

    // ILAC-G8:09/2019, table 1 (ilac.g8.*, bounds in words): w = r U, U = 2 u; specific risk of a value right at the acceptance limit.
    test.each([
        ['3', 1e-6],
        ['1.5', 0.0016],
        ['1', 0.025],
        ['0.83', 0.05],
        ['0', 0.5],
    ])('ILAC-G8, r = %s: false accept at the limit is below %s', async (r, bound) => {
        expect(1 - (await value(`p_within(10 - 2 * ${r}, null, 10, 1)`))).toBeLessThanOrEqual(bound);
    });

    // ISO 14253-1:2017: guard band factor 1.65 by default.
    test('the guard band of 1.65 u decides inside, outside and undecided', async () => {
        const k = check('iso14253.k').value;
        const [row] = await db.cells(
            `select list_transform([0.0, 0.1174, 0.1176, 0.15, 0.1824, 0.1826], lambda e: conformity(e, 0.15, 0.0197, ${k})) as verdicts,
                list_transform([0.15, 0.151], lambda e: conformity(-e, 0.15, 0.04, 0)) as simple,
                conformity(0.0, 0.05, 0.04, ${k}) as hopeless`,
        );
        expect(row).toEqual({
            verdicts: ['inside', 'inside', 'undecided', 'undecided', 'undecided', 'outside'],
            simple: ['inside', 'outside'],
            hopeless: 'undecided',
        });
    });

    // NCSLI RP-19 (draft) as verified in suncal: sd of the test a quarter of the process's, limits by in-tolerance share.
    test.each(['0.6', '0.7', '0.8', '0.9', '0.95', '0.99'])(
        'RP-19: false accepts at %s in tolerance',
        async (share) => {
            const limit = `normal_quantile((1 + ${share}) / 2)`;
            const accepted = `p_accepted(0, 1, 0.25, ${limit})`;
            const falsely = `p_falsely_accepted(0, 1, 0.25, ${limit}, ${limit})`;
            await near(`100 * ${falsely}`, `rp19.pfa.${share}`);
            await near(`100 * ${falsely} / ${accepted}`, `rp19.cpfa.${share}`);
        },
    );

    // The precision resistor of JCGM 106: T = 0.2 ohm, u0 = 0.12, um = 0.04 (recomputed values).
    test('global consumer and producer risk, without and with a guard band of U', async () => {
        const producer = (accept: number) =>
            `p_accepted(0, 0.12, 0, 0.2) - p_accepted(0, 0.12, 0.04, ${accept}) + p_falsely_accepted(0, 0.12, 0.04, 0.2, ${accept})`;
        await near('p_falsely_accepted(0, 0.12, 0.04, 0.2, 0.2)', 'jcgm106.resistor.simple');
        await near('p_falsely_accepted(0, 0.12, 0.04, 0.2, 0.12)', 'jcgm106.resistor.guard');
        await near(producer(0.2), 'jcgm106.resistor.rp.simple');
        await near(producer(0.12), 'jcgm106.resistor.rp.guard');
    });
});

describe('capability', () => {
    // NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, sd 2.
    test('Cp and Cpk of the handbook', async () => {
        await near('capability_cp(2, 8, 20)', 'hb.6.1.6.Cp');
        await near('capability_cpk(16, 2, 8, 20)', 'hb.6.1.6.Cpk');
        await near('capability_cpk(16, 2, 8, 1e9)', 'hb.6.1.6.Cpl');
        await near('capability_cpk(16, 2, -1e9, 20)', 'hb.6.1.6.Cpu');
    });

    // suncal, test_risk.py::test_cpk: limits 9 and 11, sd 0.4, mean 10 and 10.5.
    test('Cpk and the share out of tolerance', async () => {
        expect(await value('capability_cpk(10, 0.4, 9, 11)')).toBeCloseTo(0.833333, 3);
        expect(await value('capability_cpk(10.5, 0.4, 9, 11)')).toBeCloseTo(0.416667, 3);
        await near('1 - p_accepted(0, 0.4, 0, 1)', 'cpk.spec');
        await near('1 - p_accepted(0.5, 0.4, 0, 1)', 'cpk.spec2');
    });

    // Montgomery, Introduction to Statistical Quality Control, examples of section 8.3.5 (digits from memory): Cp 2.29 with
    // n = 20 has 1.57..3.01, Cpk 1.33 with n = 20 has 0.88..1.78 by Bissell's formula.
    test('intervals of Cp and Cpk', async () => {
        expect(await value('cp_limit(2.29, 19, 0.025)')).toBeCloseTo(1.57, 2);
        expect(await value('cp_limit(2.29, 19, 0.975)')).toBeCloseTo(3.01, 2);
        expect(await value('cpk_limit(1.33, 20, 19, 0.025)')).toBeCloseTo(0.88, 2);
        expect(await value('cpk_limit(1.33, 20, 19, 0.975)')).toBeCloseTo(1.78, 2);
    });

    test('settings of one car are alike: correlation by moments, and how few independent ones they are worth', async () => {
        // Twenty pairs, both 1 in half of them, both 0 in the others: alike but for what the mean takes off.
        expect(await value('icc(40, 20::double, 20, 40, 40, 80)')).toBeCloseTo(1, 12);
        // One of each pair hits: as unlike as can be.
        expect(await value('icc(40, 20::double, 20, 20, 40, 80)')).toBeLessThan(-0.9);
        expect(await value('coalesce(icc(40, 40::double, 40, 80, 80, 80), 9)')).toBe(9);
        expect(await value('coalesce(icc(20, 10::double, 10, 10, 10, 20), 9)')).toBe(9);
        expect(await value('icc_used(1, 15, 0.25, 5)')).toBeCloseTo((15 + 5 * 0.25) / 20, 12);
        expect(await value('icc_used(null, 15, 0.25, 5)')).toBe(0.25);
        expect(await value('design_effect(1, 40, 80)')).toBe(2);
        expect(await value('design_effect(0.5, 40, 40)')).toBe(1);
        expect(await value('few_clusters(40, 40)')).toBe(1);
        expect(await value('few_clusters(40, 20)')).toBeCloseTo((2.093 / 2.0227) ** 2, 3);
    });

    test('what is left of a spread without a known part: 0.05 of 0.03 and 0.04, and none below it', async () => {
        expect(await value('sd_left(0.05, 0.03)')).toBeCloseTo(0.04, 12);
        expect(await value('sd_left(0.02, 0.03)')).toBe(0);
        expect(await value('sd_left(null, 0.03)')).toBeNull();
        // 10 degrees of freedom: chi-square quantiles 3.247 and 20.483 (table).
        expect(await value('sd_left_limit(1, 0, 10, 0.025)')).toBeCloseTo(Math.sqrt(10 / 20.483), 4);
        expect(await value('sd_left_limit(1, 0, 10, 0.975)')).toBeCloseTo(Math.sqrt(10 / 3.247), 4);
    });
});

describe('p chart', () => {
    // Montgomery, exercise 6-1 (published solutions, chapter 6): 117 of 20 samples of 100; without sample 12, 102 of 19.
    test.each([
        [117 / 2000, 100, 0, 0.1289],
        [102 / 1900, 100, 0, 0.1213],
    ])('centre %f', async (centre, n, low, high) => {
        expect(await value(`p_chart_low(${centre}, ${n})`)).toBeCloseTo(low, 4);
        expect(await value(`p_chart_high(${centre}, ${n})`)).toBeCloseTo(high, 4);
    });

    // NIST/SEMATECH e-Handbook 6.3.3.2: 30 wafers of 50 chips, mean .2313 (published); limits .0524 and .4102 from memory.
    test('wafers of the handbook', async () => {
        expect(await value('p_chart_low(0.2313, 50)')).toBeCloseTo(0.0524, 3);
        expect(await value('p_chart_high(0.2313, 50)')).toBeCloseTo(0.4102, 3);
    });
});

describe('chances', () => {
    // Exact by counting: 2^4 outcomes, 5 with at least 3 heads of 4.
    test('at least k of n by halves', async () => {
        expect(await value('p_at_least_by_halves(3, 4)')).toBeCloseTo(5 / 16, 12);
        expect(await value('p_at_least_by_halves(0, 4)')).toBe(1);
        expect(await value('p_at_least_by_halves(0, 0)')).toBeNull();
    });

    // Half-normal: mean sqrt(2/pi), variance 1 - 2/pi, E z^4 = 3, all exact; far out the tail is exponential with rate a.
    test('moments of a normal tail', async () => {
        expect(await value('tail_mean(0.0)')).toBeCloseTo(Math.sqrt(2 / Math.PI), 14);
        expect(await value('tail_var(0.0)')).toBeCloseTo(1 - 2 / Math.PI, 14);
        expect(await value('tail_square_var(0.0)')).toBeCloseTo(2, 14);
        expect(await value('tail_mean(-9.0)')).toBeCloseTo(0, 12);
        expect(await value('tail_var(-9.0)')).toBeCloseTo(1, 12);
        expect((await value('tail_mean(29.0)')) - 29).toBeCloseTo(1 / 29, 3);
        expect(await value('tail_var(40.0)')).toBeCloseTo(1 / 1600, 8);
    });
});
