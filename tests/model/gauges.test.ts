import { afterEach, beforeEach, expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { check, dataset } from '../../fixtures/reference/checks.js';
import type { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';
import { buildTable } from '../../src/model/buildTable.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { emptyDatabase, insertRows, modelOf, type Rows } from '../support/memory.js';
import { modelTable } from '../support/modelTable.js';

let db: Database;
beforeEach(async () => {
    db = await emptyDatabase();
    await createFunctions(db);
});
afterEach(() => db.close());

const build = async (...tables: string[]) => {
    for (const model of modelFiles()) if (tables.includes(model.table)) await buildTable(db, model);
};
const stateTables = [
    'plates',
    'plate_positions',
    'assumed_zones',
    'placements',
    'condition_levels',
    'states',
    'condition_changes',
    'readers',
    'repeated_readings',
];
const noiseTables = [
    ...stateTables,
    'angle_priors',
    'session_pairs',
    'undisturbed_spreads',
    'display_steps',
    'repeat_cells',
    'reading_noise',
];
const comparisonTables = ['neighbouring_states', 'set_ups', 'gauge_comparisons'];
/** The same where set-ups are said to add nothing, as in the published studies: one mounting for all. */
const oneMounting = async (...tables: string[]) => {
    await modelTable(
        db,
        'set_ups',
        [null, ...(await db.cells('select distinct gauge from readings')).map(({ gauge }) => gauge)].flatMap(
            (gauge) =>
                ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'].map((response) => ({
                    gauge: gauge as string | null,
                    response,
                    set_up_var_deg2: 0,
                })),
        ),
    );
    await build(...tables.filter((table) => table !== 'set_ups'));
};
const effectTables = [...comparisonTables, 'gauge_variances', 'gauge_effects'];

const reading = {
    vehicle: 'A',
    chassis: 'OTTER',
    corner: 'FL',
    measured_at: '2025-01-01T10:00',
    visit: 'v',
    visit_kind: 'check',
    phase: 'before',
};
const near = (got: unknown, id: string, relative = 0) => {
    const { value, tolerance } = check(id);
    expect(Math.abs((got as number) - value)).toBeLessThanOrEqual(tolerance + relative * Math.abs(value));
};

/** Six values with this mean and standard deviation (divisor 5). */
function six(mean: number, sd: number): number[] {
    const step = sd * Math.sqrt(5 / 6);
    return [1, -1, 1, -1, 1, -1].map((sign) => mean + sign * step);
}

/** Every row as six readings of one state that have its mean and standard deviation; a second row of one wafer, day and probe is another state. */
function repeated(rows: readonly Record<string, string>[]): Rows {
    const seen = new Map<string, number>();
    const probes = [...new Set(rows.map((row) => row.probe!))];
    return rows.flatMap((row) => {
        const key = [row.run, row.wafer, row.month, row.day, row.probe].join('/');
        const nth = (seen.get(key) ?? 0) + 1;
        seen.set(key, nth);
        return six(Number(row.average), Number(row.stddev)).map((camber_deg, index) => ({
            ...reading,
            vehicle: row.wafer!,
            visit: `run ${row.run} ${row.month}/${row.day} ${nth}`,
            measured_at: `2025-0${Number(row.month)}-${String(Number(row.day)).padStart(2, '0')}T10:00`,
            repeat: 10 * probes.indexOf(row.probe!) + index + 1,
            gauge: row.probe!,
            camber_deg,
        }));
    });
}

async function noiseOf(gauge: string) {
    const [row] = await db.cells(
        `select * from reading_noise where gauge = '${gauge}' and response = 'camber_deg'`,
    );
    return row!;
}

test('repeatability of a probe, NIST/SEMATECH e-Handbook 2.4.4.1: 12 states of six readings', async () => {
    await insertRows(db, 'readings', repeated(dataset('hb_mpc441')));
    await build(...noiseTables);
    const row = await noiseOf('2362');
    near(row.df, 'hb.2.4.4.1.df');
    near(row.own_sd_deg, 'hb.2.4.4.1.pooled');
    near((row.own_sd_deg as number) ** 2 * (row.df as number), 'hb.2.4.4.1.SS');
    expect(row.source).toBe('repeats');
});

test('repeatability of probe 2362 over both runs, NIST/SEMATECH e-Handbook 2.6.1', async () => {
    await insertRows(db, 'readings', repeated(dataset('hb_mpc61').filter((row) => row.probe === '2362.')));
    await build(...noiseTables);
    const row = await noiseOf('2362.');
    expect(row.df).toBe(300);
    near(row.own_sd_deg, 'hb.2.6.1.level-1_s1');
});

test('the interval of a repeatability is that of the one that is told, which the other gauges draw to theirs', async () => {
    const states = (gauge: string, count: number, sd: number) =>
        Array.from({ length: count }, (_, state) =>
            six(0, sd).map((camber_deg, index) => ({
                ...reading,
                visit: `${gauge} ${state}`,
                repeat: index + 1,
                gauge,
                camber_deg,
            })),
        ).flat();
    await insertRows(db, 'readings', [...states('coarse', 12, 0.1), ...states('fine', 1, 0.01)]);
    await build(...noiseTables);
    const row = await noiseOf('fine');
    const [sd, low, high] = [row.sd_deg, row.conf_low_deg, row.conf_high_deg] as [number, number, number];
    // Five degrees of freedom of its own and four of both gauges together; chi-square 2.700 and 19.023 (NIST/SEMATECH 1.3.6.7.4).
    const typical = (60 * 0.1 ** 2 + 5 * 0.01 ** 2 + 4 * 0.05 ** 2) / (60 + 5 + 4);
    const square = 5 * 0.01 ** 2 + 4 * typical;
    expect(sd).toBeCloseTo(Math.sqrt(square / 9), 4);
    expect(low).toBeCloseTo(Math.sqrt(square / 19.023), 4);
    expect(high).toBeCloseTo(Math.sqrt(square / 2.7), 4);
    // The interval of its own readings alone would end below the told one.
    expect(Math.sqrt((5 * 0.01 ** 2) / 0.831)).toBeLessThan(sd);
});

test('intervals hold the true standard deviation of 19 of 20 gauges that differ by a fifth', async () => {
    const random = new Random(12);
    const sds = Array.from({ length: 300 }, () => 0.05 * Math.exp(random.normal(0, 0.2)));
    await insertRows(
        db,
        'readings',
        sds.flatMap((sd, gauge) =>
            Array.from({ length: 6 }, (_, row) => ({
                ...reading,
                visit: `${gauge} ${row % 3}`,
                repeat: 1 + Math.floor(row / 3),
                gauge: `gauge ${gauge}`,
                camber_deg: random.normal(-1, sd),
            })),
        ),
    );
    await build(...noiseTables);
    const rows = await db.cells(
        "select gauge, conf_low_deg, conf_high_deg from reading_noise where response = 'camber_deg' and gauge is not null",
    );
    const held = rows.filter((row) => {
        const sd = sds[Number((row.gauge as string).split(' ')[1])]!;
        return (row.conf_low_deg as number) <= sd && sd <= (row.conf_high_deg as number);
    });
    expect(rows).toHaveLength(300);
    // Four degrees of freedom are worth gauges that differ by more than these, so that intervals are too wide for them.
    expect(held.length / 300).toBeGreaterThan(0.93);
});

test('bias of probe 2362 against the five probes, NIST/SEMATECH e-Handbook 2.6.1', async () => {
    // The handbook takes the mean of five probes on a wafer as its value: each average as one reading, equal weights, no shrinkage.
    const rows = dataset('hb_mpc61');
    await insertRows(
        db,
        'readings',
        [...new Map(rows.map((row) => [[row.run, row.wafer, row.probe].join('/'), row])).values()].map(
            (row) => {
                const same = rows.filter(
                    (other) =>
                        other.run === row.run && other.wafer === row.wafer && other.probe === row.probe,
                );
                const mean = same.reduce((sum, other) => sum + Number(other.average), 0) / same.length;
                return {
                    ...reading,
                    vehicle: `wafer ${row.wafer}`,
                    visit: `run ${row.run}`,
                    repeat: Number(row.probe),
                    gauge: row.probe!,
                    camber_deg: mean,
                };
            },
        ),
    );
    await build(...stateTables, 'angle_priors');
    await modelTable(db, 'reading_noise', [
        { gauge: null, response: 'camber_deg', sd_deg: 0.05 },
        ...[...new Set(rows.map((row) => row.probe!))].map((gauge) => ({
            gauge,
            response: 'camber_deg',
            sd_deg: 0.05,
        })),
    ]);
    await oneMounting(...effectTables);
    const [bias] = await db.cells(
        "select * from gauge_effects where name = '2362.' and response = 'camber_deg'",
    );
    const [variance] = await db.cells("select * from gauge_variances where response = 'camber_deg'");
    // Ten wafers' worth of readings of one probe; shrinkage of a balanced one-way layout: n / (n + error variance / variance).
    const error = variance!.used_error_var as number;
    const n = new Set(rows.map((row) => [row.run, row.wafer].join('/'))).size;
    const unshrunk = (bias!.bias_deg as number) * (1 + error / (variance!.used_gauge_var as number) / n);
    near(unshrunk, 'hb.2.6.1.probe_bias_overall', 1e-3);
    expect(Math.abs(bias!.bias_deg as number)).toBeLessThan(Math.abs(unshrunk));
});

const dyestuff = (rows: readonly Record<string, string>[]) =>
    rows.map((row, index) => ({
        ...reading,
        repeat: index + 1,
        gauge: row.Batch!,
        camber_deg: Number(row.Yield),
    }));

async function oneWay(rows: ReturnType<typeof dyestuff>) {
    await insertRows(db, 'readings', rows);
    await build(...stateTables, 'angle_priors');
    await modelTable(db, 'reading_noise', [
        { gauge: null, response: 'camber_deg', sd_deg: 50 },
        ...[...new Set(rows.map((row) => row.gauge))].map((gauge) => ({
            gauge,
            response: 'camber_deg',
            sd_deg: 50,
        })),
    ]);
    await oneMounting(...effectTables);
    const [row] = await db.cells("select * from gauge_variances where response = 'camber_deg'");
    return row!;
}

test('one-way REML on the dyestuff yields (Davies 1947): batches as gauges that measured one part', async () => {
    const row = await oneWay(dyestuff(dataset('dyestuff')));
    near(row.gauge_var, 'dyestuff.REML_var_Batch');
    near(Math.sqrt(row.error_var as number), 'dyestuff.sd_Residual');
    expect(row.technician_var).toBeNull();
});

test('a variance on its boundary is 0: batches that differ less than chance has it', async () => {
    // Five values per batch with equal means: between mean squares 0, so REML gives 0 and the total variance, 29 df, for the error.
    const shifts = [-2, -1, 0, 1, 2];
    const rows = ['A', 'B', 'C', 'D', 'E', 'F'].flatMap((Batch) =>
        shifts.map((shift) => ({ Batch, Yield: String(5 + shift) })),
    );
    const row = await oneWay(dyestuff(rows));
    expect(row.gauge_var).toBe(0);
    expect(row.error_var).toBeCloseTo((6 * 10) / 29, 10);
});

test('balanced two-way layout: REML equals the analysis of variance', async () => {
    // Two gauges by three people, each twice, on one car: effects +-0.1 and (-0.06, 0, 0.06), error +-0.01 in each cell.
    const rows = [-0.1, 0.1].flatMap((gauge, g) =>
        [-0.06, 0, 0.06].flatMap((person, p) =>
            [0.01, -0.01].map((error, e) => ({
                ...reading,
                repeat: 1 + e + 2 * p + 6 * g,
                gauge: `gauge ${g}`,
                technician: `person ${p}`,
                camber_deg: 1 + gauge + person + error,
            })),
        ),
    );
    const row = await oneWay(rows as never);
    const errorSquare = (12 * 0.01 ** 2) / (12 - 1 - 1 - 2);
    expect(row.error_var).toBeCloseTo(errorSquare, 9);
    expect(row.gauge_var).toBeCloseTo((12 * 0.1 ** 2 - errorSquare) / 6, 9);
    expect(row.technician_var).toBeCloseTo((4 * (0.06 ** 2 + 0.06 ** 2)) / 2 / 4 - errorSquare / 4, 9);
});

test('design effect of cars, by hand: what two gauges differ by in four cars', async () => {
    const gaps = [0.1, 0.2, 0.3, 0.4];
    const sides = { reader_1: 1, reader_2: 2, gauge_1: 'P', gauge_2: 'Q' };
    const response = 'camber_deg';
    await build('angle_priors');
    await modelTable(db, 'readers', [
        { reader: 1, gauge: 'P' },
        { reader: 2, gauge: 'Q' },
    ]);
    await modelTable(db, 'reading_noise', [{ gauge: null, response, sd_deg: 0.04 }]);
    await modelTable(
        db,
        'gauge_comparisons',
        gaps.map((gap, car) => ({
            ...sides,
            response,
            lot: car + 1,
            part_count: 50,
            df: 50,
            weight: 100,
            gap_deg: 100 * gap,
            square_deg2: 100 * gap ** 2 + 0.01,
        })),
    );
    await build('gauge_variances');
    const [found] = await db.cells('select * from gauge_variances');
    const errorVar = found!.error_var as number;
    // What the cars leave over of their mean 0.25: squares of 0.15, 0.05, 0.05, 0.15, each weight 100; three cars tell, four are said.
    const told = (100 * 2 * (0.15 ** 2 + 0.05 ** 2)) / 3 / errorVar;
    // The predicted difference is drawn a little towards 0.
    expect(found!.design_effect as number).toBeCloseTo((3 * told + 4 * 1.3) / 7, 1);
    expect(found!.used_error_var).toBeCloseTo(
        (200 * errorVar * (found!.design_effect as number) + 4 * 0.0016) / 204,
        12,
    );
});

test('each person with a gauge of his own is confounded: pairs instead of gauges and people', async () => {
    const rows = [
        ['rack', 'A', 0.1],
        ['rack', 'A', 0.12],
        ['rim', 'B', 0.3],
        ['rim', 'B', 0.28],
    ].map(([gauge, technician, camber_deg], index) => ({
        ...reading,
        repeat: index + 1,
        gauge,
        technician,
        camber_deg,
    }));
    await insertRows(db, 'readings', rows as Rows);
    await build(
        ...noiseTables,
        'condition_changes',
        'free_toe_states',
        'state_pairs',
        'angle_priors',
        ...effectTables,
        'gauge_references',
        'reader_biases',
        'gauges',
    );
    const kinds = await db.cells(
        "select kind, name, bias_deg > 0 as high, bias_missing from gauges where response = 'camber_deg' order by kind, name",
    );
    expect(kinds.map((row) => [row.kind, row.name, row.high])).toEqual([
        ['gauge', 'rack', null],
        ['gauge', 'rim', null],
        ['pair', 'rack with A', false],
        ['pair', 'rim with B', true],
        ['technician', 'A', null],
        ['technician', 'B', null],
    ]);
    expect(kinds[0]!.bias_missing).toContain('confounded');
});

test('sums over pairs are those of readings centred within parts with their weights', async () => {
    const sds: Record<string, number> = { P: 0.05, Q: 0.1, R: 0.02 };
    const parts = [
        [
            ['P', 'A', 1.02],
            ['P', 'A', 1],
            ['Q', 'A', 1.11],
            ['Q', 'B', 1.13],
            ['R', 'B', 0.96],
        ],
        [
            ['P', 'B', 2],
            ['R', 'A', 2.03],
            ['R', 'A', 2.06],
        ],
    ] as [string, string, number][][];
    const rows = parts.flatMap((part, index) =>
        part.map(([gauge, technician, camber_deg], repeat) => ({
            ...reading,
            visit: `visit ${index}`,
            repeat: repeat + 1,
            gauge,
            technician,
            camber_deg,
        })),
    );
    await insertRows(db, 'readings', rows);
    await build(...stateTables, 'angle_priors');
    await modelTable(db, 'reading_noise', [
        { gauge: null, response: 'camber_deg', sd_deg: 0.04 },
        ...Object.entries(sds).map(([gauge, sd_deg]) => ({ gauge, response: 'camber_deg', sd_deg })),
    ]);
    await oneMounting(...comparisonTables, 'gauge_variances');
    const [sums] = await db.cells('select * from gauge_variances');
    const levels = ['P', 'Q', 'R', 'A', 'B'];
    const centred = parts.flatMap((part) => {
        const weights = part.map(([gauge]) => 0.04 ** 2 / sds[gauge]! ** 2);
        const total = weights.reduce((sum, w) => sum + w, 0);
        const away = (values: number[]) => {
            const mean = values.reduce((sum, value, i) => sum + weights[i]! * value, 0) / total;
            return values.map((value) => value - mean);
        };
        const z = levels.map((level) =>
            away(part.map(([gauge, person]) => (level === gauge || level === person ? 1 : 0))),
        );
        const y = away(part.map(([, , camber]) => camber));
        return part.map((_, i) => ({ weight: weights[i]!, y: y[i]!, z: z.map((column) => column[i]!) }));
    });
    const sum = (term: (row: (typeof centred)[number]) => number) =>
        centred.reduce((all, row) => all + row.weight * term(row), 0);
    expect(sums!.df).toBe(6);
    expect(sums!.factors).toEqual([1, 1, 1, 2, 2]);
    expect(sums!.yy).toBeCloseTo(
        sum(({ y }) => y * y),
        12,
    );
    levels.forEach((_, i) => {
        expect((sums!.xy as number[])[i]).toBeCloseTo(
            sum(({ y, z }) => y * z[i]!),
            12,
        );
    });
    (sums!.first_levels as number[]).forEach((first, k) => {
        const second = (sums!.second_levels as number[])[k]!;
        expect((sums!.xx as number[])[k]).toBeCloseTo(
            sum(({ z }) => z[first - 1]! * z[second - 1]!),
            12,
        );
    });
});

test('shops that share no car: each gauge is compared within its shop, variances come from all shops', async () => {
    const shop = (name: string, base: number) =>
        [0.1, 0.12, -0.1, -0.12].map((off, index) => ({
            ...reading,
            vehicle: `car of ${name}`,
            repeat: index + 1,
            gauge: `${name} ${off > 0 ? 'high' : 'low'}`,
            camber_deg: base + off,
        }));
    await insertRows(db, 'readings', [...shop('north', 0), ...shop('south', 3)]);
    await build(...noiseTables);
    await oneMounting('angle_priors', ...effectTables);
    const effects = await db.cells(
        "select name, compared_group, bias_deg from gauge_effects where response = 'camber_deg' order by name",
    );
    expect(effects.map((row) => row.compared_group)).toEqual([1, 1, 3, 3]);
    const [high, low, otherHigh, otherLow] = effects.map((row) => row.bias_deg as number);
    expect(high).toBeCloseTo(-low!, 12);
    expect(high).toBeGreaterThan(0.09);
    expect(otherHigh).toBeCloseTo(high!, 12);
    expect(otherLow).toBeCloseTo(low!, 12);
    const [variance] = await db.cells("select * from gauge_variances where response = 'camber_deg'");
    expect(variance).toMatchObject({ gauge_count: 4, df: 6 });
    // Within a shop and car: between mean square 4 * 0.11^2 with 1 df each, error mean square 2 * 2 * 0.01^2 / 2, two readings a gauge.
    expect(variance!.gauge_var).toBeCloseTo((4 * 0.11 ** 2 - 2 * 0.01 ** 2) / 2, 9);
});

test('without repeats the noise comes from sessions that left a corner alone; few readings lean on the prior', async () => {
    // 40 sessions that change nothing but for the reading: +-0.06 deg of camber, half of them; sd of a change 0.06, of a reading 0.0424.
    const session = (index: number, phase: string, camber_deg: number) => ({
        ...reading,
        visit: `s${index}`,
        visit_kind: 'session',
        phase,
        gauge: 'rack',
        camber_deg,
    });
    const changes = Array.from({ length: 40 }, (_, index) => (index % 2 === 0 ? 0.06 : -0.06));
    await insertRows(
        db,
        'readings',
        [...changes, 0.5, -0.6].flatMap((change, index) => [
            session(index, 'before', 1),
            session(index, 'after', 1 + change),
        ]),
    );
    await insertRows(db, 'readings', [{ ...reading, visit: 'once', gauge: 'new', camber_deg: 1 }]);
    await build(...noiseTables);
    const rack = await noiseOf('rack');
    expect(rack.source).toBe('sessions');
    expect(rack.df).toBe(40);
    // Variance of a standard normal cut off at 2.5: 1 - 2 c phi(c) / (2 Phi(c) - 1) (Johnson, Kotz and Balakrishnan, Continuous
    // Univariate Distributions, vol. 1, 1994, section 13.10.1; from memory).
    expect(rack.own_sd_deg).toBeCloseTo(0.06 / Math.SQRT2 / Math.sqrt(0.911257), 6);
    expect((await noiseOf('new')).source).toBe('typical');
    const [prior] = await db.cells(
        "select source, sd_deg from reading_noise where gauge = 'new' and response = 'sai_deg'",
    );
    expect(prior).toEqual({ source: 'prior', sd_deg: 0.12 });
});

test('a display of tenths on which most changes show as 0: those of one step count', async () => {
    const changes = Array.from({ length: 40 }, (_, i) => (i % 5 < 3 ? 0 : i % 5 === 3 ? 0.1 : -0.1));
    const rows = changes.flatMap((change, i) =>
        (['before', 'after'] as const).map((phase) => ({
            ...reading,
            visit: `s${i}`,
            visit_kind: 'session',
            phase,
            gauge: 'rack',
            camber_deg: (i % 7) / 10 + (phase === 'after' ? change : 0),
        })),
    );
    await insertRows(db, 'readings', rows);
    await build(...noiseTables);
    const rack = await noiseOf('rack');
    expect(rack.df).toBe(40);
    expect(rack.own_sd_deg).toBeCloseTo(Math.sqrt((16 * 0.01) / 40 / 2 / 0.911257), 4);
});

test('where nothing was read twice no interval of set-ups is given: what sessions change holds them', async () => {
    const sessions = (repeats: number) =>
        Array.from({ length: 40 }, (_, i) =>
            ['before', 'after'].flatMap((phase) =>
                Array.from({ length: repeats }, (_, n) => ({
                    ...reading,
                    visit: `s${i}`,
                    visit_kind: 'session',
                    phase,
                    repeat: n + 1,
                    gauge: 'rack',
                    camber_deg: (((3 * i + (phase === 'after' ? 2 : 0)) % 7) - 3) / 50 + n / 50,
                })),
            ),
        ).flat();
    const low = async (repeats: number) => {
        const model = await modelOf({ readings: sessions(repeats) }, 1, ['gauges']);
        const [row] = await model.cells(
            "select source, set_up_low_deg from gauges where response = 'camber_deg'",
        );
        model.close();
        return row;
    };
    expect(await low(1)).toEqual({ source: 'sessions', set_up_low_deg: null });
    expect(await low(2)).toEqual({ source: 'repeats', set_up_low_deg: expect.any(Number) });
});

test('a mistyped repeat is left out and counted', async () => {
    const values = [1, 1.02, 1.01, 1.03, 1, 1.02, 1.01, 11];
    await insertRows(
        db,
        'readings',
        values.map((camber_deg, index) => ({ ...reading, repeat: index + 1, gauge: 'rack', camber_deg })),
    );
    await build(...noiseTables);
    const row = await noiseOf('rack');
    expect(row.outlier_count).toBe(1);
    expect(row.df).toBe(6);
    expect(row.own_sd_deg as number).toBeLessThan(0.012);
});
