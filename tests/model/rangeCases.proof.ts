import { afterEach, describe, expect, test } from 'vitest';
import type { RangeRow } from '../../src/contracts/results/range.js';
import type { Database } from '../../src/db/database.js';
import { range, rangeNeeds } from '../../src/model/range.js';
import { emptyDatabase, modelOf, type Rows } from '../support/memory.js';

let db: Database;
afterEach(() => db.close());

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

async function asked(readings: Rows, targets: Rows = [target], kits: Rows = [kit]) {
    db = await modelOf({ readings, targets, kits }, 1, rangeNeeds);
    return range(db);
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
    test('offset plus what the slopes make of the misses', async () => {
        await asked([
            standing('bare', 'FL', { camber_deg: -1.87, caster_deg: 6.905 }),
            standing(
                'set',
                'FR',
                { camber_deg: -1.087, caster_deg: 6 },
                { offset_out_mm: 4, offset_aft_mm: -3 },
            ),
        ]);
        const needs = await db.cells(
            'select vehicle, need_out_mm as out, need_aft_mm as aft, limit_mm from needed_offsets order by vehicle',
        );
        expect(needs).toEqual([
            {
                vehicle: 'bare',
                out: expect.closeTo(0.87 / 0.087, 5),
                aft: expect.closeTo(-0.905 / 0.0905, 5),
                limit_mm: null,
            },
            { vehicle: 'set', out: expect.closeTo(4 + 1, 5), aft: expect.closeTo(-3, 5), limit_mm: null },
        ]);
    });

    test("camber counts at the target's toe: 0.2 deg of toe-in at 6 deg of caster hides 0.021 deg", async () => {
        await asked(
            [standing('car', 'FL', { camber_deg: -1, caster_deg: 6, toe_deg: 0.2 })],
            [{ ...target, toe_deg: 0, toe_tol_deg: 0.05 }],
        );
        const [need] = await db.cells('select need_out_mm from needed_offsets');
        expect(need!.need_out_mm).toBeCloseTo((-Math.tan((6 * Math.PI) / 180) * 0.2) / 0.087, 5);
    });

    test('a target without caster sets no rearward offset; a corner without a needed angle is left out and said', async () => {
        const { rows, notes } = await asked(
            [standing('a', 'FL', { camber_deg: -1.5 }), standing('b', 'FL', { caster_deg: 6 })],
            [{ target: 'street', camber_deg: -1, camber_tol_deg: 0.2 }],
        );
        expect(best(rows)).toMatchObject({ corner_count: 1, need_aft_mean_mm: null, need_aft_low_mm: null });
        expect(notes.join('\n')).toContain('C: 1 case of a corner and a target left out');
    });

    test('the newest state counts, but no after of a session', async () => {
        const state = (visit: string, day: string, camber: number, more: Row = {}) =>
            standing(
                'car',
                'FL',
                { camber_deg: camber, caster_deg: 6 },
                { visit, measured_at: `2026-03-${day}`, ...more },
            );
        await asked([
            state('v1', '01', -1.9),
            state('v2', '02', -1.5),
            state('v3', '03', -1.9, { visit_kind: 'session' }),
        ]);
        const [need] = await db.cells('select visit from needed_offsets');
        expect(need).toEqual({ visit: 'v2' });
    });

    test('a pointer at the end with the target missed beyond it: only a limit is known', async () => {
        const end = { kit: 'K', plate_index: 1, mark_1: -5 };
        await asked([
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
        const rows = await db.cells(
            'select vehicle, round(beyond_out, 9) as beyond, limit_mm from needed_offsets where limit_mm is not null order by vehicle',
        );
        // Past the end at 10 mm inboard, camber comes within tolerance 0.2 / 0.087 mm further on.
        const limit = expect.closeTo(10 + 0.2 / 0.087, 6);
        expect(rows).toEqual([
            { vehicle: 'mirrored', beyond: -1, limit_mm: limit },
            { vehicle: 'short', beyond: -1, limit_mm: limit },
        ]);
    });

    test('one car far from all others is set apart and said', async () => {
        const needs = Array.from({ length: 12 }, (_, i): [number, number] => [i % 4, i % 3]);
        const { rows, notes } = await asked([
            ...field(needs),
            ...field([[60, 0]]).map((row) => ({ ...row, vehicle: 'typo' })),
        ]);
        expect(best(rows)).toMatchObject({ corner_count: 12, set_apart_count: 1 });
        expect(notes.join('\n')).toContain('1 corner left out as far from the others');
    });
});

describe('spread', () => {
    const spaced = Array.from({ length: 100 }, (_, i): [number, number] => [-10 + 0.2 * i, 5 - 0.1 * i]);

    test('mean, spread without noise, tolerance interval and distribution-free interval of 100 single corners', async () => {
        const { rows } = await asked(field(spaced));
        const row = best(rows);
        const mean = -10 + 0.1 * 99;
        const variance = spaced.reduce((sum, [out]) => sum + (out - mean) ** 2, 0) / 99;
        // One reading of camber is 0.05 deg by the prior; the corner's own slope adds its prior spread, whatever way it moved.
        const [prior] = await db.cells("select spread_var from spread_priors where response = 'camber_deg'");
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

    test('what is not known of the bias of a gauge is common to all its cars, until a reference tells it', async () => {
        const readings = field(spaced).map((row) => ({ ...row, gauge: 'rack' }));
        const unknown = best((await asked(readings)).rows);
        const biasSd = async () =>
            (await db.cells("select sd_bias_mm from needed_spreads where axis = 'out'"))[0]!
                .sd_bias_mm as number;
        // 0.05 deg between gauges is expected (sql/gauges/gauge_priors).
        expect(await biasSd()).toBeCloseTo(0.05 / 0.087, 6);
        db.close();
        const references = [1, 2, 3].map((repeat) => ({
            gauge: 'rack',
            angle: 'camber',
            measured_at: '2026-02-01',
            reference_deg: 0,
            reference_uncertainty_deg: 0.001,
            reading_deg: 0.1,
            repeat,
        }));
        db = await modelOf({ readings, targets: [target], kits: [kit], references }, 1, rangeNeeds);
        const known = best((await range(db)).rows);
        const [bias] = await db.cells(
            "select step_deg from reader_biases where reader_1 is null and reader_2 > 0 and response = 'camber_deg'",
        );
        expect(bias!.step_deg as number).toBeGreaterThan(0.05);
        expect(known.need_out_mean_mm! - unknown.need_out_mean_mm!).toBeCloseTo(
            (bias!.step_deg as number) / 0.087,
            4,
        );
        expect(await biasSd()).toBeLessThan(0.6 * (0.05 / 0.087));
        expect(known.need_out_std_error_mm!).toBeLessThan(unknown.need_out_std_error_mm!);
    });

    test('set-ups that check visits tell of are taken from the spread as well', async () => {
        const off = (i: number) => 0.1 * ((i * 37) % 100 < 50 ? 1 : -1);
        const readings: Row[] = field(spaced).map((row, i) => ({
            ...row,
            gauge: 'rack',
            camber_deg: (row.camber_deg as number) + off(i),
        }));
        const again = readings.map((row, i) => ({
            ...row,
            visit: `${row.vehicle} again`,
            visit_kind: 'check',
            phase: 'before',
            measured_at: '2026-03-02T10:00',
            camber_deg: (row.camber_deg as number) - 2 * off(i),
        }));
        const alone = best((await asked(readings)).rows);
        db.close();
        const both = best((await asked([...readings, ...again])).rows);
        expect(both.need_out_sd_noise_mm!).toBeGreaterThan(alone.need_out_sd_noise_mm! + 0.4);
    });

    test('with 92 cars there is no distribution-free interval, with 93 there is (Wilks 1941)', async () => {
        const few = await asked(field(spaced.slice(0, 92)));
        expect(best(few.rows)).toMatchObject({ need_out_free_low_mm: null, free_count_needed: 93 });
        expect(few.notes.join('\n')).toContain(
            'Too few cars for a distribution-free interval (93 are needed): C.',
        );
        db.close();
        const enough = await asked(field(spaced.slice(0, 93)));
        expect(best(enough.rows).need_out_free_low_mm).toBeCloseTo(-10, 4);
    });

    test('left and right that always agree are worth one corner each', async () => {
        const left = field(spaced.slice(0, 30));
        const { rows } = await asked([...left, ...left.map((row) => ({ ...row, corner: 'FR' }))]);
        const pairs = best(rows);
        db.close();
        const single = best((await asked(left)).rows);
        expect(pairs.need_out_rho).toBeCloseTo(1, 6);
        expect(pairs.corner_count).toBe(60);
        expect(pairs.need_out_std_error_mm).toBeCloseTo(single.need_out_std_error_mm!, 2);
        expect(pairs.effective_count!).toBeLessThanOrEqual(30);
    });

    test('one car, or noise alone, gives no spread but a reason', async () => {
        const one = best((await asked(field([[1, 1]]))).rows);
        expect(one).toMatchObject({ need_out_sd_mm: null, need_out_low_mm: null });
        expect(one.reason).toContain('fewer than 2 corners');
        db.close();
        const same = best(
            (
                await asked(
                    field([
                        [1, 1],
                        [1.1, 1],
                        [1, 1.1],
                        [1.1, 1.1],
                    ]),
                )
            ).rows,
        );
        expect(same).toMatchObject({
            need_out_sd_mm: null,
            reason: 'the spread is no larger than the noise of the readings',
        });
        expect(same.need_out_mean_mm).toBeCloseTo(1.05, 4);
    });

    test('neither the order of the rows nor the number of threads changes a digit', async () => {
        const readings = field(spaced).map((row, i) =>
            i % 5 === 0 ? { ...row, kit: 'K', plate_index: 1 + (i % 3), mark_1: -5, camber_deg: -0.5 } : row,
        );
        const first = (await asked(readings)).rows;
        db.close();
        db = await modelOf(
            { readings: [...readings].reverse(), targets: [target], kits: [kit] },
            2,
            rangeNeeds,
        );
        expect((await range(db)).rows).toEqual(first);
        expect(best(first).censored_count).toBeGreaterThan(5);
    });

    test('readings and target shifted alike: nothing changes', async () => {
        const first = (await asked(field(spaced))).rows;
        db.close();
        const shifted = field(spaced).map((row) => ({ ...row, camber_deg: (row.camber_deg as number) - 1 }));
        const again = (await asked(shifted, [{ ...target, camber_deg: -2 }])).rows;
        for (const [i, row] of again.entries()) {
            expect(row.share_reachable).toBeCloseTo(first[i]!.share_reachable!, 9);
            expect(row.need_out_low_mm).toBeCloseTo(first[i]!.need_out_low_mm!, 4);
        }
    });
});

describe('reach', () => {
    test('shares per index and hand, the best index, the slot that would do, and use', async () => {
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
        const fitted = standing('fitted', 'RL', { camber_deg: -1 });
        const used = standing(
            'car 0',
            'FL',
            { camber_deg: -1, caster_deg: 6 },
            { kit: 'K', plate_index: 1, mark_1: 0 },
        );
        const { rows } = await asked([...field(needs).slice(1), used, fitted]);
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

    test('both corners of a car take plates of one pair', async () => {
        // Index 2 of the own hand points inboard and rearward, of the other hand outboard and rearward.
        const narrow = { ...kit, index_count: 2, centre_out_mm: 12, mark_min: -1, mark_max: 1 };
        const place = (angle: number) => [12 * Math.cos(angle), 12 * Math.sin(angle)] as [number, number];
        const own = place((120 * Math.PI) / 180);
        const [left, right] = field([own, [-own[0], own[1]]]);
        const { rows } = await asked(
            [left!, { ...right!, vehicle: left!.vehicle!, visit: left!.visit!, corner: 'FR' }],
            [target],
            [narrow],
        );
        const share = (index: number, hand: string) =>
            rows.find((row) => row.plate_index === index && row.plate_hand === hand)!.share_reachable;
        expect([share(2, 'own'), share(2, 'other')]).toEqual([0.5, 0.5]);
        // The left corner wants the left plate, and so does the right one: the pair has only one.
        expect(best(rows).share_reachable).toBe(0.5);
    });

    test('the least half-lengths are the order statistics of what the corners ask', async () => {
        const needs = Array.from({ length: 40 }, (_, i): [number, number] => [i - 19.5, 0]);
        const { rows } = await asked(field(needs));
        const row = rows.find((one) => one.plate_index === 1 && one.plate_hand === 'own')!;
        // |i - 19.5| less 0.2 / 0.087; the 36th of 40 in order is 17.5, drawn in by the noise of 0.6 mm in a spread of 11.7.
        expect(row.half_length_90_mm).toBeCloseTo(17.5 - 0.2 / 0.087, 0);
        expect(row.half_length_90_low_mm!).toBeLessThan(row.half_length_90_mm!);
        expect(row.half_length_99_mm!).toBeGreaterThan(row.half_length_95_mm!);
    });

    test('a kit without ends of scale, or of another chassis, has no share but a reason', async () => {
        const { rows } = await asked(
            field([
                [1, 1],
                [5, 2],
            ]),
            [target],
            [{ kit: 'K', chassis: 'D', mark_pitch_mm: 2 }],
        );
        expect(rows).toHaveLength(1);
        expect(rows[0]).toMatchObject({ kit: null, share_reachable: null });
        expect(rows[0]!.reason).toContain('no kit with ends of scale fits');
    });
});

test('unknown names and empty tables are said with what to do', async () => {
    db = await emptyDatabase();
    await expect(range(db)).rejects.toThrow('holds no readings');
    db.close();
    db = await modelOf({ readings: field([[1, 1]]) }, 1, rangeNeeds);
    await expect(range(db)).rejects.toThrow('Load a targets file');
    db.close();
    db = await modelOf({ readings: field([[1, 1]]), targets: [target], kits: [kit] }, 1, rangeNeeds);
    await expect(range(db, { chassis: 'X' })).rejects.toThrow('There is no chassis "X"');
    await expect(range(db, { kit: 'X' })).rejects.toThrow('There is no kit "X"');
    await expect(range(db, { target: 'X' })).rejects.toThrow('There is no target "X"');
});
