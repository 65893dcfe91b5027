import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { RangeRow } from '../../src/contracts/results/range.js';
import type { Database } from '../../src/db/database.js';
import { range, rangeNeeds } from '../../src/model/range.js';
import { emptyDatabase, insertRows, modelOf, type Rows } from '../support/memory.js';

type Row = Rows[number];

const kit = { kit: 'K', mark_pitch_mm: 2, mark_min: -5, mark_max: 5 };
const target = { target: 'street', camber_deg: -1, camber_tol_deg: 0.2, caster_deg: 6, caster_tol_deg: 0.5 };

/** A front corner at a known offset. Geometry is the prior's: 0.087 deg of camber per mm out, 0.0905 of caster per mm aft. */
function standing(vehicle: string, corner: string, angles: Row, more: Row = {}): Row {
    return {
        vehicle,
        chassis: 'C',
        corner,
        measured_at: '2026-03-01T10:00',
        visit: `${vehicle} visit`,
        visit_kind: 'install',
        phase: 'after',
        ...angles,
        ...more,
    };
}

/** Fields of one database, each a chassis and cars of its own; what tells of noise is kept apart from what rests on priors alone. */
class Fields {
    readonly input: { readings: Row[]; targets: Row[]; kits: Row[]; references: Row[] } = {
        readings: [],
        targets: [],
        kits: [],
        references: [],
    };
    db!: Database;

    async model(readings: Rows = this.input.readings, threads = 1): Promise<Database> {
        return modelOf({ ...this.input, readings }, threads, rangeNeeds);
    }
}
const priors = new Fields();
const evidence = new Fields();
beforeAll(async () => {
    for (const fields of [priors, evidence]) fields.db = await fields.model();
});
afterAll(() => {
    for (const { db } of [priors, evidence]) db.close();
});

let count = 0;

/** Readings, targets and kits as those of a chassis of their own. */
function own(readings: Rows, targets: Rows = [target], kits: Rows = [kit], fields = priors) {
    const { input } = fields;
    const chassis = `C${++count}`;
    input.readings.push(
        ...readings.map((one) => ({ ...one, chassis, vehicle: `${chassis} ${one.vehicle}` })),
    );
    input.targets.push(...targets.map((one) => ({ ...one, chassis })));
    input.kits.push(...kits.map((one) => ({ chassis, ...one })));
    return {
        chassis,
        asked: () => range(fields.db, { chassis }),
        cells: (columns: string, more = '') =>
            fields.db.cells(
                `select replace(vehicle, '${chassis} ', '') as vehicle, ${columns} from needed_offsets
                where chassis = '${chassis}' ${more} order by all`,
            ),
    };
}

const best = (rows: readonly RangeRow[], kitName = 'K') =>
    rows.find((row) => row.plate_index === null && row.kit === kitName)!;

/** Cars whose needed offsets are `needs`, one corner each, read on the original mount. */
function field(needs: readonly [number, number][]): Row[] {
    return needs.map(([out, aft], i) =>
        standing(`car ${i}`, 'FL', { camber_deg: -1 - 0.087 * out, caster_deg: 6 - 0.0905 * aft }),
    );
}

describe('needed offsets', () => {
    const placed = own([
        standing('bare', 'FL', { camber_deg: -1.87, caster_deg: 6.905 }),
        standing('set', 'FR', { camber_deg: -1.087, caster_deg: 6 }, { offset_out_mm: 4, offset_aft_mm: -3 }),
    ]);

    test('offset plus what the slopes make of the misses', async () => {
        expect(await placed.cells('need_out_mm as out, need_aft_mm as aft, limit_mm')).toEqual([
            {
                vehicle: 'bare',
                out: expect.closeTo(0.87 / 0.087, 5),
                aft: expect.closeTo(-0.905 / 0.0905, 5),
                limit_mm: null,
            },
            { vehicle: 'set', out: expect.closeTo(4 + 1, 5), aft: expect.closeTo(-3, 5), limit_mm: null },
        ]);
    });

    const toedIn = own(
        [standing('car', 'FL', { camber_deg: -1, caster_deg: 6, toe_deg: 0.2 })],
        [{ ...target, toe_deg: 0, toe_tol_deg: 0.05 }],
    );

    test("camber counts at the target's toe: 0.2 deg of toe-in at 6 deg of caster hides 0.021 deg", async () => {
        const [need] = await toedIn.cells('need_out_mm');
        expect(need!.need_out_mm).toBeCloseTo((-Math.tan((6 * Math.PI) / 180) * 0.2) / 0.087, 5);
    });

    const camberAlone = own(
        [standing('a', 'FL', { camber_deg: -1.5 }), standing('b', 'FL', { caster_deg: 6 })],
        [{ target: 'street', camber_deg: -1, camber_tol_deg: 0.2 }],
    );

    test('a target without caster sets no rearward offset; a corner without a needed angle is left out and said', async () => {
        const { rows, notes } = await camberAlone.asked();
        expect(best(rows)).toMatchObject({ corner_count: 1, need_aft_mean_mm: null, need_aft_low_mm: null });
        expect(notes.join('\n')).toContain(
            `${camberAlone.chassis}: 1 case of a corner and a target left out`,
        );
    });

    const state = (visit: string, day: string, camber: number, more: Row = {}) =>
        standing(
            'car',
            'FL',
            { camber_deg: camber, caster_deg: 6 },
            { visit, measured_at: `2026-03-${day}`, ...more },
        );
    const later = own(
        [
            state('v1', '01', -1.9),
            state('v2', '02', -1.5),
            state('v3', '03', -1.9, { visit_kind: 'session' }),
        ],
        [target],
        [kit],
        evidence,
    );

    test('the newest state counts, but no after of a session', async () => {
        expect(await later.cells('visit')).toEqual([{ vehicle: 'car', visit: 'v2' }]);
    });

    const end = { kit: 'K', plate_index: 1, mark_1: -5 };
    const ended = own([
        standing('short', 'FL', { camber_deg: -0.5, caster_deg: 6 }, end),
        standing('in band', 'FL', { camber_deg: -0.85, caster_deg: 6 }, end),
        standing('wants back', 'FL', { camber_deg: -1.5, caster_deg: 6 }, end),
        standing(
            'mirrored',
            'FR',
            { camber_deg: -0.5, caster_deg: 6 },
            { ...end, plate_hand: 'left', mark_1: 5 },
        ),
    ]);

    test('a pointer at the end with the target missed beyond it: only a limit is known', async () => {
        const rows = await ended.cells(
            'round(beyond_out, 9) as beyond, limit_mm',
            'and limit_mm is not null',
        );
        // Past the end at 10 mm inboard, camber comes within tolerance 0.2 / 0.087 mm further on.
        const limit = expect.closeTo(10 + 0.2 / 0.087, 6);
        expect(rows).toEqual([
            { vehicle: 'mirrored', beyond: -1, limit_mm: limit },
            { vehicle: 'short', beyond: -1, limit_mm: limit },
        ]);
    });

    const far = own([
        ...field(Array.from({ length: 12 }, (_, i): [number, number] => [i % 4, i % 3])),
        ...field([[60, 0]]).map((row) => ({ ...row, vehicle: 'typo' })),
    ]);

    test('one car far from all others is set apart and said', async () => {
        const { rows, notes } = await far.asked();
        expect(best(rows)).toMatchObject({ corner_count: 12, set_apart_count: 1 });
        expect(notes.join('\n')).toContain('1 corner left out as far from the others');
    });
});

describe('spread', () => {
    const spaced = Array.from({ length: 100 }, (_, i): [number, number] => [-10 + 0.2 * i, 5 - 0.1 * i]);
    const whole = own(field(spaced));

    test('mean, spread without noise, tolerance interval and distribution-free interval of 100 single corners', async () => {
        const row = best((await whole.asked()).rows);
        const mean = -10 + 0.1 * 99;
        const variance = spaced.reduce((sum, [out]) => sum + (out - mean) ** 2, 0) / 99;
        // One reading of camber is 0.05 deg by the prior; the corner's own slope adds its prior spread, whatever way it moved.
        const [prior] = await priors.db.cells(
            "select spread_var from angle_priors where response = 'camber_deg'",
        );
        const square = spaced.reduce((sum, [out, aft]) => sum + out * out + aft * aft, 0) / 100;
        const noise = (0.05 ** 2 + (prior!.spread_var as number) * square) / 0.087 ** 2;
        expect(row.need_out_mean_mm).toBeCloseTo(mean, 4);
        expect(row.need_out_sd_noise_mm).toBeCloseTo(Math.sqrt(noise), 4);
        expect(row.need_out_sd_mm).toBeCloseTo(Math.sqrt(variance - noise), 3);
        // With 100 cars one order statistic is dropped at each end: beta(99, 2) leaves P(share > 0.95) = 0.963 by tables.
        expect(row.need_out_free_low_mm).toBeCloseTo(-10, 4);
        expect(row.need_out_free_high_mm).toBeCloseTo(-10 + 0.2 * 99, 4);
        // Wider than 1.96 sd, by a factor that the slope's own error (10 mm of 87) keeps well over that of 100 sure values.
        const half = (row.need_out_high_mm! - row.need_out_low_mm!) / 2 / row.need_out_sd_mm!;
        expect(half).toBeGreaterThan(2.233);
        expect(half).toBeLessThan(3);
    });

    const read = field(spaced).map((row) => ({ ...row, gauge: 'rack' }));
    const unreferenced = own(read);
    const referenced = own(read, [target], [kit], evidence);
    for (const repeat of [1, 2, 3])
        evidence.input.references.push({
            gauge: 'rack',
            angle: 'camber',
            measured_at: '2026-02-01',
            reference_deg: 0,
            reference_uncertainty_deg: 0.001,
            reading_deg: 0.1,
            repeat,
        });

    test('what is not known of the bias of a gauge is common to all its cars, until a reference tells it', async () => {
        const unknown = best((await unreferenced.asked()).rows);
        const known = best((await referenced.asked()).rows);
        const biasSd = async ({ db }: Fields, { chassis }: { chassis: string }) => {
            const [row] = await db.cells(
                `select sd_bias_mm from needed_spreads where axis = 'out' and chassis = '${chassis}'`,
            );
            return row!.sd_bias_mm as number;
        };
        // 0.05 deg between gauges is expected (sql/gauges/angle_priors).
        expect(await biasSd(priors, unreferenced)).toBeCloseTo(0.05 / 0.087, 6);
        const [bias] = await evidence.db.cells(
            `select step_deg from reader_biases inner join readers on reader = reader_2
            where reader_1 is null and gauge = 'rack' and response = 'camber_deg'`,
        );
        expect(bias!.step_deg as number).toBeGreaterThan(0.05);
        expect(known.need_out_mean_mm! - unknown.need_out_mean_mm!).toBeCloseTo(
            (bias!.step_deg as number) / 0.087,
            4,
        );
        expect(await biasSd(evidence, referenced)).toBeLessThan(0.6 * (0.05 / 0.087));
        expect(known.need_out_std_error_mm!).toBeLessThan(unknown.need_out_std_error_mm!);
    });

    const off = (i: number) => 0.1 * ((i * 37) % 100 < 50 ? 1 : -1);
    const mounted: Row[] = field(spaced).map((row, i) => ({
        ...row,
        gauge: 'mounted rack',
        camber_deg: (row.camber_deg as number) + off(i),
    }));
    const again = mounted.map((row, i) => ({
        ...row,
        visit: `${row.vehicle} again`,
        visit_kind: 'check',
        phase: 'before',
        measured_at: '2026-03-02T10:00',
        camber_deg: (row.camber_deg as number) - 2 * off(i),
    }));
    const unchecked = own(mounted);
    const checked = own([...mounted, ...again], [target], [kit], evidence);

    test('set-ups that check visits tell of are taken from the spread as well', async () => {
        const alone = best((await unchecked.asked()).rows);
        const both = best((await checked.asked()).rows);
        expect(both.need_out_sd_noise_mm!).toBeGreaterThan(alone.need_out_sd_noise_mm! + 0.4);
    });

    const some = own(field(spaced.slice(0, 92)));
    const enough = own(field(spaced.slice(0, 93)));

    test('with 92 cars there is no distribution-free interval, with 93 there is (Wilks 1941)', async () => {
        const few = await some.asked();
        expect(best(few.rows)).toMatchObject({ need_out_free_low_mm: null, free_count_needed: 93 });
        expect(few.notes.join('\n')).toContain(
            `Too few cars for a distribution-free interval (93 are needed): ${some.chassis}.`,
        );
        expect(best((await enough.asked()).rows).need_out_free_low_mm).toBeCloseTo(-10, 4);
    });

    const left = field(spaced.slice(0, 30));
    const alike = own([...left, ...left.map((row) => ({ ...row, corner: 'FR' }))]);
    const alone = own(left);

    test('left and right that always agree are worth one corner each', async () => {
        const pairs = best((await alike.asked()).rows);
        const single = best((await alone.asked()).rows);
        expect(pairs.need_out_rho).toBeCloseTo(1, 6);
        expect(pairs.corner_count).toBe(60);
        expect(pairs.need_out_std_error_mm).toBeCloseTo(single.need_out_std_error_mm!, 2);
        expect(pairs.effective_count!).toBeLessThanOrEqual(30);
    });

    const lone = own(field([[1, 1]]));
    const noisy = own(
        field([
            [1, 1],
            [1.1, 1],
            [1, 1.1],
            [1.1, 1.1],
        ]),
    );

    test('one car, or noise alone, gives no spread but a reason', async () => {
        const one = best((await lone.asked()).rows);
        expect(one).toMatchObject({ need_out_sd_mm: null, need_out_low_mm: null });
        expect(one.reason).toContain('fewer than 2 corners');
        const same = best((await noisy.asked()).rows);
        expect(same).toMatchObject({
            need_out_sd_mm: null,
            reason: 'the spread is no larger than the noise of the readings',
        });
        expect(same.need_out_mean_mm).toBeCloseTo(1.05, 4);
    });

    const censored = own(
        field(spaced).map((row, i) =>
            i % 5 === 0 ? { ...row, kit: 'K', plate_index: 1 + (i % 3), mark_1: -5, camber_deg: -0.5 } : row,
        ),
    );

    test('neither the order of the rows nor the number of threads changes a digit', async () => {
        expect(best((await censored.asked()).rows).censored_count).toBeGreaterThan(5);
        const { rows } = await range(priors.db);
        const backwards = await priors.model(priors.input.readings.toReversed(), 2);
        expect((await range(backwards)).rows).toEqual(rows);
        backwards.close();
    });

    const shifted = own(
        field(spaced).map((row) => ({ ...row, camber_deg: (row.camber_deg as number) - 1 })),
        [{ ...target, camber_deg: -2 }],
    );

    test('readings and target shifted alike: nothing changes', async () => {
        const first = (await whole.asked()).rows;
        const shiftedRows = (await shifted.asked()).rows;
        expect(shiftedRows).toHaveLength(first.length);
        for (const [i, row] of shiftedRows.entries()) {
            expect(row.share_reachable).toBeCloseTo(first[i]!.share_reachable!, 9);
            expect(row.need_out_low_mm).toBeCloseTo(first[i]!.need_out_low_mm!, 4);
        }
    });
});

describe('reach', () => {
    // Spread so wide that noise hardly draws the points in: a slot across the car, +-10 mm, at 0 mm aft.
    const needs: [number, number][] = [
        [0, 0],
        [9, 1],
        [-9, -1],
        [20, 0],
        [-20, 0],
        [12, 0],
        [0, 20],
    ];
    const rear = standing('fitted', 'RL', { camber_deg: -1 });
    const used = standing(
        'car 0',
        'FL',
        { camber_deg: -1, caster_deg: 6 },
        { kit: 'K', plate_index: 1, mark_1: 0 },
    );
    const wide = own([...field(needs).slice(1), used, rear]);

    test('shares per index and hand, the best index, the slot that would do, and use', async () => {
        const { rows } = await wide.asked();
        const at = (index: number, hand: string) =>
            rows.find((row) => row.plate_index === index && row.plate_hand === hand)!;
        // Index 1: 0, 9, -9 and 12, the last by its tolerance of 2.3 mm. Index 2 lies at 120 deg: only the middle.
        expect(at(1, 'own')).toMatchObject({ share_reachable: 4 / 7, used_count: 1, half_length_mm: 10 });
        expect(at(1, 'other').share_reachable).toBe(4 / 7);
        expect(at(2, 'own')).toMatchObject({ share_reachable: 1 / 7, used_count: 0 });
        expect(best(rows).share_reachable).toBe(4 / 7);
        expect(at(1, 'own').mark_step_deg).toBeCloseTo(2 * 0.087, 9);
        expect(at(2, 'own').mark_step_caster_deg).toBeCloseTo(
            2 * 0.0905 * Math.sin((120 * Math.PI) / 180),
            9,
        );
        // A mark may move camber by its tolerance.
        expect(at(1, 'own').mark_pitch_useful_mm).toBeCloseTo(0.2 / 0.087, 9);
    });

    const both = own(
        field(needs),
        [{ ...target, caster_tol_deg: 0.1 }],
        [{ ...kit, mark2_min: -5, mark2_max: 5 }],
    );

    test('the coarsest useful pitch is that of the scale that moves an angle the most', async () => {
        const { rows } = await both.asked();
        const [first] = rows.filter((row) => row.plate_index === 1);
        // The first scale moves camber, the second caster: 0.1 deg over 0.0905 deg/mm comes before 0.2 over 0.087.
        expect(first!.mark_pitch_useful_mm).toBeCloseTo(0.1 / 0.0905, 9);
    });

    const piled = own(
        [-5, -5, 0, 1, 2, 5].map((mark_1, i) =>
            standing(
                `car ${i}`,
                i === 0 ? 'FR' : 'FL',
                { camber_deg: -1, caster_deg: 6 },
                { kit: 'K', plate_index: 1, mark_1, plate_hand: 'left' },
            ),
        ),
    );

    test('pointers at the ends and plates of the other hand are counted in a sentence', async () => {
        const { notes } = await piled.asked();
        expect(notes).toContain(
            'K, index 1: of 6 pointers 2 in the lowest tenth of the scale, 1 in the highest.',
        );
        expect(notes).toContain("K: the other hand's plate sits on 1 of 6 corners.");
    });

    // Index 2 of the own hand points inboard and rearward, of the other hand outboard and rearward.
    const turn = (120 * Math.PI) / 180;
    const inboard: [number, number] = [12 * Math.cos(turn), 12 * Math.sin(turn)];
    const [left, right] = field([inboard, [-inboard[0], inboard[1]]]) as [Row, Row];
    const pair = own(
        [left, { ...right, vehicle: left.vehicle!, visit: left.visit!, corner: 'FR' }],
        [target],
        [{ ...kit, index_count: 2, centre_out_mm: 12, mark_min: -1, mark_max: 1 }],
    );

    test('both corners of a car take plates of one pair', async () => {
        const { rows } = await pair.asked();
        const share = (index: number, hand: string) =>
            rows.find((row) => row.plate_index === index && row.plate_hand === hand)!.share_reachable;
        expect([share(2, 'own'), share(2, 'other')]).toEqual([0.5, 0.5]);
        // The left corner wants the left plate, and so does the right one: the pair has only one.
        expect(best(rows).share_reachable).toBe(0.5);
    });

    const even = own(field(Array.from({ length: 40 }, (_, i): [number, number] => [i - 19.5, 0])));

    test('the least half-lengths are the order statistics of what the corners ask', async () => {
        const { rows } = await even.asked();
        const row = rows.find((one) => one.plate_index === 1 && one.plate_hand === 'own')!;
        // |i - 19.5| less 0.2 / 0.087; the 36th of 40 in order is 17.5, drawn in by the noise of 0.6 mm in a spread of 11.7.
        expect(row.half_length_90_mm).toBeCloseTo(17.5 - 0.2 / 0.087, 0);
        expect(row.half_length_90_low_mm!).toBeLessThan(row.half_length_90_mm!);
        expect(row.half_length_99_mm!).toBeGreaterThan(row.half_length_95_mm!);
    });

    const two = field([
        [1, 1],
        [5, 2],
    ]);
    const endless = own(two, [target], [{ kit: 'K', mark_pitch_mm: 2 }]);
    const ofAnother = own(two, [target], [{ ...kit, chassis: 'D' }]);

    test('a kit without ends of scale, or of another chassis, has no share but a reason', async () => {
        for (const one of [endless, ofAnother]) {
            const { rows } = await one.asked();
            expect(rows).toHaveLength(1);
            expect(rows[0]).toMatchObject({ kit: null, share_reachable: null });
            expect(rows[0]!.reason).toContain('no kit with ends of scale fits');
        }
    });

    const single = own(field([[1, 1]]), [target], [{ kit: 'K', mark_pitch_mm: 2 }]);

    test('without a kit and without an estimate both reasons are given, and no interval is spoken of', async () => {
        const { rows, notes } = await single.asked();
        expect(rows[0]!.reason).toMatch(/^fewer than 2 corners .*; no kit with ends of scale fits/);
        expect(notes.filter((note) => note.includes('distribution-free'))).toEqual([]);
    });
});

test('unknown names and empty tables are said with what to do', async () => {
    const empty = await emptyDatabase();
    await expect(range(empty)).rejects.toThrow('holds no readings');
    await insertRows(empty, 'readings', field([[1, 1]]));
    await expect(range(empty)).rejects.toThrow('Load a targets file');
    empty.close();
    await expect(range(priors.db, { chassis: 'X' })).rejects.toThrow('There is no chassis "X"');
    await expect(range(priors.db, { kit: 'X' })).rejects.toThrow('There is no kit "X"');
    await expect(range(priors.db, { target: 'X' })).rejects.toThrow('There is no target "X"');
});
