import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { type AdviseQuestion, advise, adviseNeeds } from '../../src/model/advise.js';
import { modelOf, type Rows } from '../support/memory.js';
import { exactMoves, plainKit, standing } from '../support/settings.js';

type Row = Rows[number];

const phi = (z: number) => {
    // Abramowitz and Stegun 26.2.17: absolute error under 7.5e-8.
    const t = 1 / (1 + 0.2316419 * Math.abs(z));
    const tail =
        (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) *
        t *
        (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    return z > 0 ? 1 - tail : tail;
};

const cambers = { target: 'T', camber_deg: -1, camber_tol_deg: 0.2 };

/** Cars of one database, each of a chassis of its own; what tells of noise or slopes is kept apart from what rests on priors alone. */
class Cars {
    readonly input: { readings: Row[]; targets: Row[]; kits: Row[] } = {
        readings: [],
        targets: [cambers],
        kits: [plainKit],
    };
    db!: Database;
}
const priors = new Cars();
const moved = new Cars();
const readAgain = new Cars();
const databases = [priors, moved, readAgain];
beforeAll(async () => {
    for (const cars of databases) cars.db = await modelOf(cars.input, 1, adviseNeeds);
});
afterAll(() => {
    for (const { db } of databases) db.close();
});

let count = 0;

/** Readings, targets and kits as those of a chassis of their own; what is advised of their car A. */
function car(given: { readings: Rows; targets: Rows; kits?: Rows }, cars = priors) {
    const number = ++count;
    const own = <T extends Row>(one: T) => ({ ...one, chassis: `X${number}` });
    const { input } = cars;
    input.readings.push(
        ...given.readings.map((one) => ({ ...own(one), vehicle: `${number} ${one.vehicle}` })),
    );
    input.targets.push(...given.targets.map(own));
    input.kits.push(...(given.kits ?? [plainKit]).map(own));
    return {
        ask: (question: Partial<AdviseQuestion> = {}) =>
            advise(cars.db, {
                vehicle: `${number} A`,
                targets: given.targets.map((row) => String(row.target)),
                ...question,
            }),
    };
}

const unread = car({ readings: [standing('FL')], targets: [cambers] });

test('a chassis without data by hand: geometry says 0.087 deg/mm, so -0.5 deg is 2.87 marks of 2 mm', async () => {
    const { rows, notes } = await unread.ask();
    const [row] = rows;
    expect(row).toMatchObject({
        corner: 'FL',
        mark_1: -3,
        mark_2: null,
        plate_index: 1,
        move_out_mm: -6,
        move_aft_mm: 0,
        reachable: true,
        stay: false,
        camber_basis: 'geometry',
        words: 'front left: 3 marks inboard, to mark -3',
    });
    const mean = -0.5 - 6 * 0.087;
    // Reading 0.05, set-up 0.06 and bias 0.05 as usual (sql/gauges/angle_priors); slope 0.010 and its spread between corners 0.0015 deg/mm; half a mark read twice: 1 mm / sqrt(12) each.
    const sd = Math.sqrt(
        0.05 ** 2 + 0.06 ** 2 + 0.05 ** 2 + 36 * (0.01 ** 2 + 0.0015 ** 2) + (2 * 0.087 ** 2) / 12,
    );
    expect(row!.camber_deg).toBeCloseTo(mean, 9);
    expect(row!.camber_high_deg! - row!.camber_low_deg!).toBeCloseTo(2 * 1.959964 * sd, 6);
    expect(row!.p_in_tolerance).toBeCloseTo(phi((-0.8 - mean) / sd) - phi((-1.2 - mean) / sd), 6);
    expect(notes.join(' ')).toContain('geometry alone');
    expect(notes.join(' ')).toContain('Only front left is known');
});

const published = car({
    readings: [standing('FL', { mark_1: 0, camber_deg: 0 })],
    targets: [cambers],
    kits: [{ ...plainKit, mark_pitch_mm: 13, mark_resolution: 0.01 }],
});

test('the geometric prior holds the published figure of about 13 mm per degree at 711 mm (collision-repair training note)', async () => {
    const { rows } = await published.ask();
    expect(rows[0]!.mark_1).toBe(-1);
    expect(rows[0]!.camber_low_deg!).toBeLessThan(-1);
    expect(rows[0]!.camber_high_deg!).toBeGreaterThan(-1);
});

const casters = { target: 'T', caster_deg: 7 + 0.0905 * 6 * Math.sin(Math.PI / 1.5), caster_tol_deg: 0.3 };
const ownPlate = car({ readings: [standing('FR', { plate_index: 2 })], targets: [casters] });
const otherPlate = car({
    readings: [standing('FR', { plate_index: 2, plate_hand: 'left' })],
    targets: [casters],
});

test('index 2 moves along a line at 120 degrees: 3 marks are 3 mm inboard and 5.196 mm rearward (contract, section 3)', async () => {
    const { rows } = await ownPlate.ask();
    expect(rows[0]).toMatchObject({
        mark_1: 3,
        move_out_mm: expect.closeTo(-3, 6),
        move_aft_mm: expect.closeTo(6 * Math.sin(Math.PI / 1.5), 6),
        words: 'front right: 3 marks inboard and rearward, to mark 3',
    });
    const swapped = await otherPlate.ask();
    expect(swapped.rows[0]).toMatchObject({
        mark_1: 3,
        plate_hand: 'left',
        move_out_mm: expect.closeTo(3, 6),
        move_aft_mm: expect.closeTo(6 * Math.sin(Math.PI / 1.5), 6),
    });
});

const beyond = car({ readings: [standing('FL')], targets: [{ ...cambers, camber_deg: -2 }] });

test('not reachable: the end of the scale, and how far it is short', async () => {
    const { rows, notes } = await beyond.ask();
    // Mark -5 is 10 mm inboard: -0.5 - 0.87 = -1.37, which is 0.43 deg short of -1.8.
    expect(rows[0]).toMatchObject({ mark_1: -5, reachable: false, stop: 'scale_end' });
    expect(rows[0]!.short_camber_deg).toBeCloseTo(-0.43, 9);
    expect(rows[0]!.short_out_mm).toBeCloseTo(-0.43 / 0.087, 9);
    expect(notes).toContain(
        'Front left cannot reach T: nearest is mark -5, 0.43 deg too positive in camber for the tolerance, which takes 4.9 mm more inboard; the scale ends there.',
    );
});

// 10 mm inboard give -1.37 and no caster.
const justBeyond = car({
    readings: [standing('FL', { camber_deg: -0.5 })],
    targets: [{ ...cambers, camber_deg: -1.5, camber_tol_deg: 0.1 }],
});
const justAside = car({
    readings: [standing('FL')],
    targets: [{ target: 'T', camber_deg: -1, camber_tol_deg: 0.2, caster_deg: 7.15, caster_tol_deg: 0.1 }],
});
const between = car({
    readings: [standing('FL', { camber_deg: -0.956 })],
    targets: [{ ...cambers, camber_tol_deg: 0.01 }],
});
const aside = car({
    readings: [standing('FL')],
    targets: [{ target: 'T', camber_deg: -0.5, camber_tol_deg: 0.25, caster_deg: 7.5, caster_tol_deg: 0.2 }],
});

test('less than a step beyond the end, or aside of the slot, no finer step helps', async () => {
    const { rows } = await justBeyond.ask();
    expect(rows[0]).toMatchObject({ mark_1: -5, stop: 'scale_end' });
    expect(Math.abs(rows[0]!.short_out_mm!)).toBeLessThan(1);
    const { rows: beside } = await justAside.ask();
    expect(beside[0]).toMatchObject({ stop: 'slot_direction' });
    expect(Math.abs(beside[0]!.short_aft_mm!)).toBeLessThan(1);
});

// Index 2 runs at 120 degrees. The prior slopes are the geometry's, 0.087 deg/mm outboard and 4 % more rearward; camber is right
// at mark 1, and caster 2 deg out of reach.
const diagonal = car({
    readings: [standing('FL', { plate_index: 2, mark_1: 1, camber_deg: -1, caster_deg: 7 })],
    targets: [{ target: 'T', camber_deg: -1, camber_tol_deg: 0.15, caster_deg: 10, caster_tol_deg: 1 }],
});

test('camber that is met stays near its target where caster is out of reach, and the answer says both', async () => {
    // 1 mm along the slot costs 0.0435 deg of camber, 0.29 tolerances, and gains 0.078 deg of caster, 0.078 tolerances: the squares
    // balance (u = 0.078 / 0.29 = 0.27 tolerances) after 0.93 mm, between half a mark, 1 mm, and none.
    const { rows, notes } = await diagonal.ask();
    expect(rows[0]).toMatchObject({ mark_1: 1.5, reachable: false, short_camber_deg: 0 });
    expect(Math.abs(rows[0]!.camber_deg! + 1)).toBeLessThan(0.05);
    expect(notes.join('\n')).toMatch(
        /nearest is mark 1.5, camber within tolerance, 1\.92 deg short of caster/,
    );
});

test('not reachable: between marks, and passed by in this index while another reaches', async () => {
    const fine = await between.ask();
    expect(fine.rows[0]).toMatchObject({ reachable: false, stop: 'between_marks' });
    const finer = await between.ask({ step: 0.25 });
    expect(finer.rows[0]).toMatchObject({ reachable: true, mark_1: -0.25 });
    const here = await aside.ask();
    expect(here.rows[0]).toMatchObject({
        reachable: false,
        stop: 'slot_direction',
        stay: true,
        same_clocking: true,
    });
    const elsewhere = await aside.ask({ anyIndex: true });
    expect(elsewhere.rows[0]).toMatchObject({ reachable: true, same_clocking: false });
    expect(elsewhere.rows[0]!.words).toMatch(
        /^front left: left plate in index [23], .* mm .*rearward, to mark /,
    );
});

const pair = [
    standing('FL', { mark_1: -5, camber_deg: -0.95 }),
    standing('FR', { mark_1: 2, camber_deg: -0.75 }),
];
const wide = { ...cambers, camber_deg: -1.2, camber_tol_deg: 0.3 };
const limited = [{ ...wide, cross_camber_max_deg: 0.1 }];
const freePair = car({ readings: pair, targets: [wide] });
const tiedPair = car({ readings: pair, targets: limited });
const tornPair = car({
    readings: [pair[0]!, standing('FR', { mark_1: 5, camber_deg: -2.3 })],
    targets: limited,
});

test('cross limits tie the pair: the side that can move meets the one that cannot', async () => {
    const free = await freePair.ask();
    expect(free.rows.map((row) => row.stay)).toEqual([true, false]);
    expect(free.rows[1]!.camber_deg!).toBeLessThan(-1.05);
    const tied = await tiedPair.ask();
    expect(tied.rows[0]!.stay).toBe(true);
    expect(tied.rows[1]!.camber_deg!).toBeGreaterThan(-1.05);
    expect(tied.rows[0]!.cross_camber_deg).toBeCloseTo(-0.95 - tied.rows[1]!.camber_deg!, 9);
    expect(tied.rows[0]!.p_both!).toBeLessThan(free.rows[0]!.p_both!);
    const torn = await tornPair.ask();
    expect(torn.notes.join(' ')).toContain('over the limit of 0.1 deg; the plates reach no better pair');
});

const uneven = {
    ...cambers,
    camber_deg: -0.8,
    camber_tol_deg: 0.1,
    cross_camber_deg: 0.4,
    cross_camber_max_deg: 0.15,
};
const sides = [standing('FL', { camber_deg: -0.6 }), standing('FR', { camber_deg: -1 })];
const unevenCar = car({ readings: sides, targets: [uneven] });
const evenCar = car({ readings: sides, targets: [{ ...uneven, cross_camber_deg: null }] });

test('a target whose sides differ: half of it more on the left, half of it less on the right, and limits about it', async () => {
    const { rows } = await unevenCar.ask();
    // -0.8 + 0.4 / 2 and -0.8 - 0.4 / 2.
    expect(rows.map((row) => row.wanted_camber_deg)).toEqual([-0.6, -1]);
    expect(rows.map((row) => row.stay)).toEqual([true, true]);
    const alike = await evenCar.ask();
    expect(alike.rows.every((row) => Math.abs(row.camber_deg! + 0.8) < 0.1 + 1e-9)).toBe(true);
    expect(rows[0]!.p_both!).toBeGreaterThan(alike.rows[0]!.p_both! - 0.05);
});

const slopes = { camber: [0.09, 0], caster: [0, 0.094], toe: [-0.03, 0] } as const;
const street = {
    target: 'street',
    camber_deg: -0.5,
    camber_tol_deg: 0.2,
    caster_deg: 7,
    caster_tol_deg: 1,
    toe_deg: 0.05,
    toe_tol_deg: 0.05,
};
const track = {
    target: 'track',
    camber_deg: -1.22,
    camber_tol_deg: 0.1,
    caster_deg: 7,
    caster_tol_deg: 1,
    toe_deg: 0.1,
    toe_tol_deg: 0.2,
};
const toed = [
    ...exactMoves('X', slopes as never),
    standing('FL', { toe_deg: 0.05 }),
    standing('FR', { toe_deg: 0.09 }),
];
const both = car({ readings: toed, targets: [street, track] }, moved);
const tightBoth = car(
    { readings: toed, targets: [street, { ...track, toe_deg: 0, toe_tol_deg: 0.05 }] },
    moved,
);

test('two targets: toe between them, one toe for both or not, and what to put back', async () => {
    const { rows, notes } = await both.ask({ toeDiameter_mm: 600 });
    const told = rows.filter((row) => row.target === 'track');
    expect(rows.map((row) => row.stay)).toEqual([true, true, false, false]);
    for (const row of told) {
        expect(row.mark_1).toBe(-4);
        // 8 mm inboard at -0.03 deg/mm; the slope is drawn a little towards 0 by the prior.
        expect(row.toe_change_deg).toBeCloseTo(0.24, 2);
        expect(row.toe_between_deg).toBeCloseTo(row.toe_change_deg, 9);
        expect(row.toe_basis).toBe('own');
    }
    const [left, right] = told;
    expect(left!.toe_put_back_deg).toBeCloseTo(0.1 - 0.05 - left!.toe_change_deg, 9);
    expect(right!.toe_put_back_deg).toBeCloseTo(0.1 - 0.09 - right!.toe_change_deg, 9);
    expect(left!.toe_total_put_back_deg).toBeCloseTo(left!.toe_put_back_deg + right!.toe_put_back_deg, 9);
    expect(left!.toe_put_back_mm).toBeCloseTo(600 * Math.sin((left!.toe_put_back_deg * Math.PI) / 180), 9);
    expect(left!.toe_total_between_deg).toBeCloseTo(2 * left!.toe_between_deg!, 9);
    // Street takes 0..0.10, track -0.10..0.30 less the 0.24 in between, which leaves 0..0.06: the middle is 0.03.
    expect(left!.one_toe_deg).toBeCloseTo((0.3 - left!.toe_between_deg!) / 2, 9);
    expect(left!.p_one_toe!).toBeGreaterThan(0.7);
    expect(notes.some((note) => note.startsWith('From street to track toe changes by left +0.24'))).toBe(
        true,
    );
    const tight = await tightBoth.ask();
    expect(tight.rows[2]!.p_one_toe!).toBeLessThan(0.01);
    expect(tight.notes.join(' ')).toContain('One toe setting does not serve both');
});

const [asRead, toedIn] = [0, 0.2].map((toe_deg) =>
    car({
        readings: [standing('FL', { toe_deg: 0 })],
        targets: [{ ...cambers, camber_deg: -0.5, toe_deg, toe_tol_deg: 0.1 }],
    }),
);

test('camber is told at the toe of the target: 0.2 deg more toe-in takes 0.2 tan(7 deg) of camber', async () => {
    const equal = await asRead!.ask();
    const more = await toedIn!.ask();
    expect(equal.rows[0]).toMatchObject({ stay: true, camber_deg: -0.5 });
    expect(more.rows[0]).toMatchObject({ stay: true });
    expect(more.rows[0]!.camber_deg).toBeCloseTo(-0.5 - 0.2 * Math.tan((7 * Math.PI) / 180), 9);
});

const withCaster = [{ ...cambers, caster_deg: 7, caster_tol_deg: 1 }];
const readBefore = car(
    {
        readings: [
            standing('FL', { visit: 'long ago', measured_at: '2026-01-01', caster_deg: 5 }),
            standing('FL', { visit: 'moved since', measured_at: '2026-01-15', mark_1: 2, caster_deg: 6 }),
            standing('FL', { visit: 'before', measured_at: '2026-02-01', caster_deg: 7.1 }),
            standing('FL', { caster_deg: null }),
        ],
        targets: withCaster,
    },
    readAgain,
);
const movedSince = car(
    {
        readings: [
            standing('FL', { visit: 'before', measured_at: '2026-02-01', mark_1: 2 }),
            standing('FL', { caster_deg: null }),
        ],
        targets: withCaster,
    },
    readAgain,
);

test('an angle that the newest reading lacks comes from the newest one at the same placement', async () => {
    const { rows } = await readBefore.ask();
    expect(rows[0]!.caster_deg).toBeCloseTo(7.1, 9);
    const shifted = await movedSince.ask();
    expect(shifted.rows[0]).toMatchObject({ caster_deg: null, p_in_tolerance: null });
    expect(shifted.notes.join(' ')).toContain('caster was not read where the bearing sits now');
});

const measured = car({
    readings: [standing('FL', { mark_1: 0, offset_out_mm: 0.6, offset_aft_mm: 0 })],
    targets: [cambers],
});

test('a measured offset wins over the marks, and the plate is taken to be off by the same everywhere', async () => {
    const { rows } = await measured.ask();
    expect(rows[0]).toMatchObject({ mark_1: -3, offset_out_mm: expect.closeTo(-5.4, 9), move_out_mm: -6 });
});

test('corners told with --from: without offsets another mount goes in, with them the kit sits there', async () => {
    const from = [
        { corner: 'FL', camber_deg: -0.5, caster_deg: 7, offset_out_mm: null, offset_aft_mm: null },
    ] as const;
    const question = { targets: ['T'], kit: 'K', index: 1 };
    const fresh = await advise(priors.db, { ...question, from });
    expect(fresh.rows[0]).toMatchObject({ vehicle: null, chassis: null, mark_1: -3, same_clocking: false });
    // 1 mm of unknown bearing place on both axes on top of the marks; 0.1 mm / sqrt(12) for the told offset.
    const sd = Math.sqrt(
        0.05 ** 2 +
            0.06 ** 2 +
            0.05 ** 2 +
            36 * (0.01 ** 2 + 0.0015 ** 2) +
            0.087 ** 2 * (1 / 12 + 1 + 0.1 ** 2 / 12),
    );
    expect(fresh.rows[0]!.camber_high_deg! - fresh.rows[0]!.camber_deg!).toBeCloseTo(1.959964 * sd, 6);
    const sitting = await advise(priors.db, {
        ...question,
        vehicle: 'mine',
        from: [{ ...from[0], offset_out_mm: -6, offset_aft_mm: 0, camber_deg: -1.022 }],
    });
    expect(sitting.rows[0]).toMatchObject({
        vehicle: 'mine',
        stay: true,
        words: 'front left: stay at its measured offset',
    });
});

const twoScales = car({
    kits: [{ ...plainKit, mark2_min: -4, mark2_max: 4 }],
    readings: [standing('FL', { mark_2: 0 })],
    targets: [{ ...cambers, caster_deg: 7.36, caster_tol_deg: 0.2 }],
});

test('two scales: both marks are set', async () => {
    const { rows } = await twoScales.ask();
    expect(rows[0]).toMatchObject({
        mark_1: -3,
        mark_2: 2,
        words: 'front left: 7.2 mm inboard and rearward, to marks -3 and 2',
    });
});
