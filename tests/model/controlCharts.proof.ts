import padjust from '@stdlib/stats-padjust';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { Random } from '../../fixtures/physics/random.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import { check, dataset } from '../../fixtures/reference/checks.js';
import { Database } from '../../src/db/database.js';
import { createCalled, createFunctions } from '../../src/model/build.js';
import { buildTable } from '../../src/model/buildTable.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { gaussLegendreRule } from '../../src/stats/gaussLegendre.js';
import { modelOf, type Rows } from '../support/memory.js';
import { modelTable } from '../support/modelTable.js';

let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
});
afterAll(() => db.close());

async function ask(sql: string) {
    const [row] = await db.cells(sql);
    return row!;
}
/** Makes table `name` of lists x. */
const fill = (name: string, lists: readonly (readonly number[])[]) =>
    db.run(
        `create or replace temp table ${name} as select unnest(from_json($lists::json, '[["DOUBLE"]]')) as x`,
        { lists: JSON.stringify(lists) },
    );
const list = (values: readonly number[]) => `[${values.map((value) => `${value}::double`).join(', ')}]`;
const near = (got: unknown, id: string) => {
    const { value, tolerance } = check(id);
    expect(Math.abs((got as number) - value), `${id}: ${got}`).toBeLessThanOrEqual(tolerance);
};

test('individuals chart of NIST/SEMATECH e-Handbook 6.3.2.2', async () => {
    const rate = list(dataset('hb_6322_individuals').map((row) => Number(row.flowrate)));
    const row = await ask(
        `select list_avg(${rate}) as centre, moving_range_sd(${rate}) as sd, centre + 3 * sd as high, centre - 3 * sd as low`,
    );
    near(row.centre, 'hb.6.3.2.2.mean');
    near((row.sd as number) * 1.128, 'hb.6.3.2.2.mean_moving_range');
    near(row.high, 'hb.6.3.2.2.UCL');
    near(row.low, 'hb.6.3.2.2.LCL');
});

test('EWMA chart of NIST/SEMATECH e-Handbook 6.3.2.4', async () => {
    const y = list(dataset('hb_6324_ewma').map((row) => Number(row.y)));
    const row = await ask(
        `select ewma(${y}, 0.3, 50) as z, 50 + 2.0539 * ewma_reach(0.3, 3, 1000) as high, 50 - 2.0539 * ewma_reach(0.3, 3, 1000) as low`,
    );
    for (const [index, z] of (row.z as number[]).entries()) near(z, `hb.6.3.2.4.ewma_${index + 1}`);
    near(row.high, 'hb.6.3.2.4.UCL');
    near(row.low, 'hb.6.3.2.4.LCL');
});

test('tabular CUSUM of NIST/SEMATECH e-Handbook 6.3.2.3', async () => {
    const mean = list(dataset('hb_6323_cusum').map((row) => Number(row.mean)));
    const row = await ask(
        `select cusum(${mean}, 325, 0.3175, 1) as high, cusum(${mean}, 325, 0.3175, -1) as low`,
    );
    const high = row.high as number[];
    for (const [index, sum] of high.entries()) near(sum, `hb.6.3.2.3.S_hi_${index + 1}`);
    for (const [index, sum] of (row.low as number[]).entries()) near(sum, `hb.6.3.2.3.S_lo_${index + 1}`);
    near(high.findIndex((sum) => sum > 4.1959) + 1, 'hb.6.3.2.3.first_signal');
});

/** Solves a x = 1 by elimination with row pivoting; overwrites a. */
function solveOnes(a: number[][]): number[] {
    const x = a.map(() => 1);
    for (let k = 0; k < a.length; k++) {
        let best = k;
        for (let i = k + 1; i < a.length; i++) if (Math.abs(a[i]![k]!) > Math.abs(a[best]![k]!)) best = i;
        [a[k], a[best]] = [a[best]!, a[k]!];
        [x[k], x[best]] = [x[best]!, x[k]!];
        for (let i = k + 1; i < a.length; i++) {
            const f = a[i]![k]! / a[k]![k]!;
            for (let j = k; j < a.length; j++) a[i]![j]! -= f * a[k]![j]!;
            x[i]! -= f * x[k]!;
        }
    }
    for (let k = a.length - 1; k >= 0; k--) {
        for (let j = k + 1; j < a.length; j++) x[k]! -= a[k]![j]! * x[j]!;
        x[k]! /= a[k]![k]!;
    }
    return x;
}

/** Average run length of a two-sided EWMA with constant limits: Fredholm equation of Crowder (1987), by quadrature. */
function ewmaRunLength(share: number, wide: number, shift: number): number {
    const reach = wide * Math.sqrt(share / (2 - share));
    const nodes = gaussLegendreRule(-reach, reach, 4);
    const kernel = (from: number, to: number) => {
        const z = (to - (1 - share) * from) / share - shift;
        return Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI) / share;
    };
    const lengths = solveOnes(
        nodes.map(([u], i) => nodes.map(([v, w], j) => (i === j ? 1 : 0) - w * kernel(u, v))),
    );
    return 1 + nodes.reduce((sum, [v, w], j) => sum + w * kernel(0, v) * lengths[j]!, 0);
}

describe('average run lengths', () => {
    test('the quadrature reproduces Lucas and Saccucci (1990); limits of the moving average used here are crossed once in 1,300 points', () => {
        // The quadrature first reproduces the published figures of table 3.
        for (const shift of ['0', '.5', '1', '2', '4']) {
            near(ewmaRunLength(0.5, 3.071, Number(shift)), `ls90.l.5.${shift}`);
            near(ewmaRunLength(0.03, 2.437, Number(shift)), `ls90.l.03.${shift}`);
        }
        expect(ewmaRunLength(0.25, 2.998, 0)).toBeGreaterThan(497);
        expect(ewmaRunLength(0.25, 2.998, 0)).toBeLessThan(503);
        expect(ewmaRunLength(0.25, 3.3, 0)).toBeGreaterThan(1300);
    });

    /** Mean number of values until `signal` (SQL over list x) is first true, over 3,000 runs, with its standard error. */
    async function runLength(shift: number, length: number, signal: string) {
        const random = new Random(500 + Math.round(100 * shift));
        await fill(
            'runs',
            Array.from({ length: 3000 }, () =>
                Array.from({ length }, () => Number(random.normal(shift).toFixed(5))),
            ),
        );
        const row = await ask(
            `select avg(n) as mean, stddev(n) / sqrt(count(*)) as error, count(*) filter (where n is null) as endless
            from (select list_position(${signal}, true) as n from runs)`,
        );
        expect(row.endless).toBe(0);
        return row as { mean: number; error: number };
    }

    test.each([
        ['1', 220],
        ['2', 60],
        ['3', 40],
    ])(
        'EWMA of the SQL at a shift of %s standard deviations, Lucas and Saccucci (1990), table 3',
        async (shift, length) => {
            const { mean, error } = await runLength(
                Number(shift),
                length,
                '[abs(z) > ewma_reach(0.5, 3.071, 1000) for z in ewma(x, 0.5, 0)]',
            );
            expect(Math.abs(mean - check(`ls90.l.5.${shift}`).value)).toBeLessThan(4 * error);
        },
    );

    test.each([
        ['1', 80],
        ['2', 40],
        ['4', 20],
    ])(
        'two-sided CUSUM of the SQL at a shift of %s, Lucas and Crosier (1982), table 1',
        async (shift, length) => {
            const { mean, error } = await runLength(
                Number(shift),
                length,
                '[greatest(s[1], s[2]) > 4 for s in list_zip(cusum(x, 0, 0.5, 1), cusum(x, 0, 0.5, -1))]',
            );
            expect(Math.abs(mean - check(`lc82.${shift}`).value)).toBeLessThan(4 * error);
        },
    );
});

// 40,000 points a case: a rate of 0.5 % shows within 0.4..0.6 % though signals of a CUSUM come in rows.
test.each([
    [8, 'own'],
    [20, 'own'],
    [100, 'own'],
    [100, 'known'],
])(
    'the charts of a track together signal at most one point in 200: %i points, centre and sd %s',
    async (length, kind) => {
        const random = new Random(900 + length);
        await fill(
            'tracks',
            Array.from({ length: 40_000 / length }, () =>
                Array.from({ length }, () => Number(random.normal().toFixed(5))),
            ),
        );
        const row = await ask(
            `with limits as (
            select x, ${kind === 'own' ? 'list_avg(x)' : '0'} as centre, ${kind === 'own' ? 'moving_range_sd(x)' : '1'} as sd from tracks
        ),
        points as (
            select
                centre,
                sd,
                unnest(x) as value,
                unnest(range(1, len(x) + 1)) as n,
                unnest(ewma(x, 0.25, centre)) as average,
                unnest(cusum([(value - centre) / sd for value in x], 0, 0.5, 1)) as up,
                unnest(cusum([(value - centre) / sd for value in x], 0, 0.5, -1)) as down
            from limits
        )
        select avg(case when chart_signal(value - centre, average - centre, greatest(up, down), sd, n) is not null then 1.0 else 0.0 end)::double as rate
        from points`,
        );
        expect(row.rate as number).toBeLessThan(0.006);
    },
);

/** `phases`: states that each visit reads at the level of its set-up. */
async function trendOf(levels: readonly number[], phases: readonly string[] = ['before']) {
    await db.run('drop table if exists setting_tracks');
    await modelTable(
        db,
        'setting_tracks',
        levels.flatMap((level_deg, index) =>
            phases.map((phase, place) => ({
                chassis: 'OTTER',
                vehicle: 'A',
                corner: 'FL',
                kit: 'AMBER-3',
                response: 'camber_deg',
                point: phases.length * index + place + 1,
                visit: String(1871 + index),
                visit_kind: 'adjust',
                phase,
                session_count: index,
                level_deg,
            })),
        ),
    );
    await buildTable(db, modelFiles().find(({ table }) => table === 'setting_trends')!);
    return db.cells('select * from setting_trends');
}

test('the Nile at Aswan stepped once, after 1898 (strucchange)', async () => {
    const [row] = await trendOf(dataset('nile').map((year) => Number(year.flow)));
    expect(row!.pattern).toBe('step');
    near(row!.step_point, 'nile.bp.1');
    near(row!.step_deg, 'nile.shift');
    near(row!.held_square_deg2, 'nile.rss.0');
    near(row!.step_square_deg2, 'nile.rss.1');
    near(row!.held_criterion, 'nile.bic.0');
    near(row!.step_criterion, 'nile.bic.1');
    near(Number(row!.step_visit) - 1, 'nile.year');
});

test('a slow drift is creep, scatter is none, few points are not judged', async () => {
    const wobble = [0.01, -0.012, 0.004, 0.013, -0.009, -0.004, 0.011, -0.013, 0.006, -0.006, 0.002, -0.002];
    const [creep] = await trendOf(wobble.map((value, index) => value + 0.03 * index));
    expect(creep!.pattern).toBe('creep');
    expect(creep!.creep_deg_per_session).toBeCloseTo(0.03, 2);
    expect(creep!.creep_low_deg as number).toBeLessThan(0.03);
    expect(creep!.creep_high_deg as number).toBeGreaterThan(0.03);
    expect((await trendOf(wobble))[0]!.pattern).toBe('held');
    expect(await trendOf(wobble.slice(0, 5))).toEqual([]);
    // States of a visit share its set-up: three of them tell no more than one.
    const single = await trendOf(wobble);
    expect(await trendOf(wobble, ['before', 'moved', 'after'])).toEqual(single);
    expect(await trendOf(wobble.slice(0, 5), ['before', 'moved', 'after'])).toEqual([]);
});

test.each([4, 9])(
    'of tracks over %i sessions of cars that hold, at most 5 % are told to creep or step',
    async (sessions) => {
        const season = simulateSessions({
            seed: 77,
            designs,
            vehicles: 30,
            sessions,
            slipShare: 0,
            bendShare: 0,
            setUp: { camber_deg: 0.03, caster_deg: 0.06, toe_deg: 0, sai_deg: 0 },
        });
        const field = await modelOf(
            {
                readings: [
                    ...simulateFleet({ seed: 78, designs, vehicles: 6, visits: 2 }).readings,
                    ...season.readings,
                ] as Rows,
                kits: season.kits as Rows,
                sessions: season.sessions as Rows,
            },
            undefined,
            ['setting_trends'],
        );
        const [row] = await field.cells(
            "select count(*)::int as tracks, avg((pattern in ('creep', 'step'))::int) as told from setting_trends",
        );
        field.close();
        expect(row!.tracks).toBeGreaterThan(600);
        expect(row!.told).toBeLessThan(0.05);
    },
);

test('the line is least squares with its t interval: NIST StRD Norris', async () => {
    // 36 points; slope, its standard deviation and the residual sum of squares as certified.
    const rows = dataset('nist_Norris');
    await db.run('drop table if exists setting_tracks');
    await modelTable(
        db,
        'setting_tracks',
        rows.map((row, index) => ({
            vehicle: 'A',
            corner: 'FL',
            response: 'camber_deg',
            point: index + 1,
            visit: String(index),
            session_count: Math.round(10 * Number(row.x)),
            level_deg: Number(row.y),
        })),
    );
    await buildTable(db, modelFiles().find(({ table }) => table === 'setting_trends')!);
    const row = await ask('select * from setting_trends');
    expect((row.creep_deg_per_session as number) * 10).toBeCloseTo(1.00211681802045, 9);
    expect((row.creep_std_error_deg as number) * 10).toBeCloseTo(0.000429796848199937, 9);
    expect(row.creep_square_deg2).toBeCloseTo(26.617399298, 4);
});

describe('p values adjusted for their number, against stdlib padjust (the algorithms of R p.adjust)', () => {
    // Fifteen p values of Benjamini and Hochberg (1995), section 4.1: at 0.05, four are rejected by theirs, three by Bonferroni.
    const published = [
        0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528,
        0.759, 1,
    ];
    const random = new Random(41);
    const shuffled = Array.from({ length: 40 }, () => Math.round(1000 * random.uniform() ** 3) / 1000);
    test.each([
        ['published', published],
        ['with ties, in any order', shuffled],
        ['one', [0.03]],
    ])('%s', async (_name, values) => {
        const row = await ask(
            `select adjusted_bh(${list(values)}) as bh, adjusted_holm(${list(values)}) as holm`,
        );
        for (const [method, got] of [
            ['bh', row.bh],
            ['holm', row.holm],
        ] as const) {
            const wanted = [...(padjust(values, method) as Iterable<number>)];
            for (const [index, value] of (got as number[]).entries())
                expect(value).toBeCloseTo(wanted[index]!, 12);
        }
    });
    test('rejections of the published example', async () => {
        const row = await ask(
            `select len(list_filter(adjusted_bh(${list(published)}), lambda p: p <= 0.05)) as bh`,
        );
        expect(row.bh).toBe(4);
    });
});

test('limits of a rate are exact: Garwood (1936), 10 events are 4.795 to 18.390', async () => {
    // Poisson limits as in table 40 of Biometrika Tables for Statisticians, volume 1; from memory.
    const row = await ask(
        'select rate_low(10, 1) as low, rate_high(10, 1) as high, rate_low(0, 2) as none, rate_high(0, 2) as most',
    );
    expect(row.low).toBeCloseTo(4.795, 3);
    expect(row.high).toBeCloseTo(18.39, 2);
    expect(row.none).toBe(0);
    expect(row.most).toBeCloseTo(-Math.log(0.025) / 2, 9);
});

test('ratio of rates: exact test and interval on 18 of 20 against 2 of 20', async () => {
    await db.run('drop table if exists slip_rates');
    await modelTable(db, 'slip_rates', [
        { factor: 'kit', level: 'A', corner_session_count: 50, expected_slip_count: 18 },
        { factor: 'kit', level: 'B', corner_session_count: 50, expected_slip_count: 2 },
    ]);
    await createCalled(db, ['slip_contrasts']);
    const row = await ask('select * from slip_contrasts()');
    expect(row.rate_ratio).toBeCloseTo(9, 12);
    // Given 20 slips in all the share of A is binomial: limits of Clopper and Pearson for 18 of 20 (R), as odds.
    const low = check('binom.exact.18_20.low').value;
    const high = check('binom.exact.18_20.upp').value;
    expect(row.ratio_low).toBeCloseTo(low / (1 - low), 8);
    expect(row.ratio_high).toBeCloseTo(high / (1 - high), 6);
    // Two-sided: twice P(X >= 18 | 20, 1/2) = 2 * 211 / 2^20.
    expect(row.p_value).toBeCloseTo((2 * 211) / 2 ** 20, 12);
});
