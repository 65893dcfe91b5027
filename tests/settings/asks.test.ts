import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import {
    angleNotRead,
    backToOriginal,
    classNotForChassis,
    limitOrClass,
    marginTooWide,
    noSettingBefore,
    noSettingOfVisit,
    nothingLeft,
    oneAim,
    onlyWith,
    otherSideUnknown,
    unreadableAngles,
    unreadableChange,
} from '../../src/errors/askMessages.js';
import { type AdviseQuestion, advise, adviseNeedsOf } from '../../src/model/advise.js';
import { history } from '../../src/model/history.js';
import { type AskOptions, parseAsk } from '../../src/model/parseAsk.js';
import { toeInTurns } from '../../src/stats/settings/toe.js';
import { modelOf, type Rows } from '../support/memory.js';
import { plainKit, standing } from '../support/settings.js';

const phi = (z: number) => {
    // Abramowitz and Stegun 26.2.17: absolute error under 7.5e-8.
    const t = 1 / (1 + 0.2316419 * Math.abs(z));
    const tail =
        (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) *
        t *
        (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    return z > 0 ? 1 - tail : tail;
};

/** A car that an adjustment left at `mark` with these angles. */
const leftAt = (corner: 'FL' | 'FR', vehicle: string, visit: string, day: string, fields: Rows[number]) =>
    standing(corner, {
        vehicle,
        visit,
        visit_kind: 'adjust',
        phase: 'after',
        measured_at: `${day}T10:00`,
        toe_deg: 0.05,
        ...fields,
    });

// Of camber that comes back over 10 mm: two readings (repeat, set-up, bias), slope and its spread, two pointers of half a mark.
const backSd = Math.sqrt(
    2 * (0.05 ** 2 + 0.06 ** 2 + 0.05 ** 2) + (0.1 ** 2 + 0.015 ** 2) + (2 * 0.087 ** 2) / 12,
);

// One world for the file; slopes by geometry alone: 0.087 deg/mm camber, 0.0905 deg/mm caster (sql/gauges/angle_priors).
const readings: Rows = [
    standing('FL', { camber_deg: -0.5, toe_deg: 0.05 }),
    standing('FR', { camber_deg: -0.9, caster_deg: 7.2, toe_deg: 0.05 }),
    standing('FL', { vehicle: 'one side' }),
    standing('FL', { vehicle: 'no caster', caster_deg: null }),
    standing('FR', { vehicle: 'no caster', caster_deg: null }),
    standing('FL', { vehicle: 'two', kit: 'both', mark_2: 0 }),
    leftAt('FL', 'back', 'street', '2026-01-10', { mark_1: 2, camber_deg: -0.3, target: 'T' }),
    leftAt('FR', 'back', 'street', '2026-01-10', { mark_1: 2, camber_deg: -0.35, target: 'T' }),
    leftAt('FL', 'back', 'track', '2026-02-10', { mark_1: -3, camber_deg: -1.17 }),
    leftAt('FR', 'back', 'track', '2026-02-10', { mark_1: -3, camber_deg: -1.22 }),
    ...[2.2, 2.8].flatMap((off) => [
        leftAt('FL', `off ${off}`, 'street', '2026-01-10', { mark_1: 2, camber_deg: -0.3 }),
        leftAt('FR', `off ${off}`, 'street', '2026-01-10', { mark_1: 2, camber_deg: -0.3 }),
        leftAt('FL', `off ${off}`, 'track', '2026-02-10', { mark_1: -3, camber_deg: -1.17 }),
        leftAt('FR', `off ${off}`, 'track', '2026-02-10', { mark_1: -3, camber_deg: -1.17 + off * backSd }),
    ]),
    leftAt('FL', 'bent', 'street', '2026-01-10', { mark_1: 2, camber_deg: -0.3 }),
    leftAt('FL', 'bent', 'track', '2026-02-10', { mark_1: -3, camber_deg: -2.2 }),
    leftAt('FL', 'stock', 'first', '2026-01-10', { kit: null, plate_index: null, mark_1: null }),
    leftAt('FL', 'stock', 'fitted', '2026-02-10', {}),
];
let db: Database;
beforeAll(async () => {
    db = await modelOf(
        {
            kits: [plainKit, { ...plainKit, kit: 'both', mark2_min: -4, mark2_max: 4 }],
            targets: [
                { target: 'E', camber_deg: -0.3, camber_tol_deg: 0.1 },
                { target: 'T', camber_deg: -0.3, camber_tol_deg: 0.3, caster_deg: 7, caster_tol_deg: 1 },
            ],
            readings,
            changes: [
                { vehicle: 'bent', changed_at: '2025-12-01', what: 'damper' },
                { vehicle: 'bent', changed_at: '2026-07-01', what: 'spring', note: 'softer' },
                { vehicle: 'bent', changed_at: '2026-07-02', what: 'impact', corner: 'FL' },
                { vehicle: 'bent', changed_at: '2026-07-02', what: 'arm', corner: 'RL' },
            ],
            rules: [
                { class: 'C', angle: 'camber', low_deg: -1.2, gauge_uncertainty_deg: 0.1 },
                { class: 'C', chassis: 'Y', angle: 'camber', low_deg: -9 },
                { class: 'Y only', chassis: 'Y', angle: 'camber', low_deg: -9 },
            ],
        },
        1,
        [
            ...adviseNeedsOf({ ask: { kind: 'back_to', to: '', within: { camber: 0.1, caster: 0.3 } } }),
            'mark_worths',
        ],
    );
});
afterAll(() => db.close());

const none: AskOptions = { target: [], change: [] };
const ask = (options: Partial<AskOptions>, question: Partial<AdviseQuestion> = {}) =>
    advise(db, { vehicle: 'A', targets: [], ask: parseAsk({ ...none, ...options }), ...question });

describe('--change', () => {
    test('half a degree more negative on both fronts: 0.5 / 0.174 = 2.87, so 3 marks of 2 mm', async () => {
        const { rows, notes } = await ask({ change: ['camber=-0.5'] });
        expect(rows.map((row) => [row.corner, row.mark_1, row.asked])).toEqual([
            ['FL', -3, 'change'],
            ['FR', -3, 'change'],
        ]);
        const [left] = rows;
        expect(left!.camber_change_deg).toBeCloseTo(-6 * 0.087, 9);
        expect(left!.wanted_camber_deg).toBeCloseTo(-1, 9);
        expect(left!.wanted_caster_deg).toBeNull();
        // Of the change: slope 0.010 and its spread 0.0015 deg/mm over 6 mm; half a mark read twice, 1 mm / sqrt(12) each.
        const sd = Math.sqrt(36 * (0.01 ** 2 + 0.0015 ** 2) + (2 * 0.087 ** 2) / 12);
        expect(left!.camber_change_high_deg! - left!.camber_change_low_deg!).toBeCloseTo(
            2 * 1.959964 * sd,
            6,
        );
        expect(notes[0]).toContain('front left: 3 marks inboard, to mark -3; expect camber -0.52 deg');
        expect(notes[0]).toContain('from -0.50 to -1.02');
    });

    test('the same angles as advise with a target there; the probability is of the change, half of it as tolerance', async () => {
        const { rows, notes } = await ask({ change: ['FL.camber=0.2'] });
        expect(rows).toHaveLength(1);
        const told = await advise(db, { vehicle: 'A', targets: ['E'] });
        const angles = ({ ...row }: (typeof rows)[0]) => [
            row.mark_1,
            row.camber_deg,
            row.camber_low_deg,
            row.camber_high_deg,
            row.caster_deg,
            row.caster_low_deg,
            row.toe_change_deg,
        ];
        expect(angles(rows[0]!)).toEqual(angles(told.rows[0]!));
        expect(rows[0]!.mark_1).toBe(1);
        // What the reading leaves open of the angle is no part of its change: slopes and pointers over a move of 2 mm.
        const angle = -0.5 + 2 * 0.087;
        const moved = 4 * (0.01 ** 2 + 0.0015 ** 2) + (2 * 0.087 ** 2) / 12;
        const sd = Math.sqrt(moved);
        expect(rows[0]!.camber_deg).toBeCloseTo(angle, 9);
        expect(rows[0]!.p_in_tolerance).toBeCloseTo(phi((-0.2 - angle) / sd) - phi((-0.4 - angle) / sd), 6);
        expect(rows[0]!.p_camber_in_tolerance).toBeCloseTo(rows[0]!.p_in_tolerance!, 6);
        expect(notes.join(' ')).not.toContain('Only front left is known');
    });

    test('no change is reached for sure where the plate stays', async () => {
        const { rows } = await ask({ change: ['camber=0'] });
        expect(rows.map(({ stay, p_in_tolerance }) => [stay, p_in_tolerance])).toEqual([
            [true, 1],
            [true, 1],
        ]);
    });

    test('beyond the scale: as far as it goes, and what stays undone', async () => {
        const { rows, notes } = await ask({ change: ['FL.camber=-1.5'] });
        expect(rows[0]).toMatchObject({ mark_1: -5, reachable: false, stop: 'scale_end' });
        expect(notes.join(' ')).toContain('Front left: -0.63 deg of camber stays undone at mark -5');
    });

    test('an angle that the slot does not move leaves the plate where it is', async () => {
        const { rows, notes } = await ask({ change: ['caster=0.4'] });
        expect(rows.map((row) => row.stay)).toEqual([true, true]);
        expect(notes.join(' ')).toContain('+0.40 deg of caster stays undone');
        const elsewhere = await ask({ change: ['caster=0.4'] }, { anyIndex: true });
        expect(elsewhere.rows[0]!.caster_change_deg).toBeCloseTo(0.4, 1);
    });

    test('with two scales the other angle stays as it is', async () => {
        const { rows } = await ask({ change: ['camber=-0.5'] }, { vehicle: 'two' });
        expect(rows[0]).toMatchObject({ mark_1: -3, mark_2: 0 });
        const both = await ask({ change: ['camber=-0.5', 'caster=0.36'] }, { vehicle: 'two' });
        expect(both.rows[0]).toMatchObject({ mark_1: -3, mark_2: 2 });
    });

    test('caster never read: camber is answered, and what is not known is said', async () => {
        const { rows, notes } = await ask({ change: ['camber=-0.5'] }, { vehicle: 'no caster' });
        expect(rows[0]).toMatchObject({ mark_1: -3, caster_deg: null, caster_change_deg: null });
        expect(notes.join(' ')).toContain('the caster to expect is not known');
        await expect(ask({ change: ['caster=0.2'] }, { vehicle: 'no caster' })).rejects.toThrow(
            angleNotRead('FL', 'caster'),
        );
        const { notes: ofOne } = await ask({ change: ['camber=-0.2'] }, { vehicle: 'one side' });
        expect(ofOne.join(' ')).toContain('Only front left is known');
        await expect(ask({ change: ['FR.camber=-0.2'] }, { vehicle: 'one side' })).rejects.toThrow(
            otherSideUnknown('FR'),
        );
    });
});

test('--equal: one side comes to the other, 0.4 / 0.174 = 2.3 marks; 2 are as good as 2.5 and nearer', async () => {
    const { rows, notes } = await ask({ equal: true });
    expect(rows.filter((row) => row.stay)).toHaveLength(1);
    expect(rows.reduce((sum, row) => sum + Math.abs(row.mark_1!), 0)).toBe(2);
    expect(rows[0]!.cross_camber_deg).toBeCloseTo(0.4 - 4 * 0.087, 9);
    expect(rows[0]!.p_both).toBeGreaterThan(0.4);
    expect(notes.join(' ')).toContain('Left minus right camber goes from +0.40 to +0.05 deg');
    await expect(ask({ equal: true }, { vehicle: 'one side' })).rejects.toThrow(otherSideUnknown('FR'));
});

describe('--most', () => {
    test('to the end of the scale, less a margin', async () => {
        const far = await ask({ most: 'negative-camber' });
        expect(far.rows.map((row) => [row.mark_1, row.stopped_by])).toEqual([
            [-5, 'scale_end'],
            [-5, 'scale_end'],
        ]);
        expect(far.rows[0]!.camber_change_deg).toBeCloseTo(-0.87, 9);
        expect(far.rows[0]!.p_in_tolerance).toBeNull();
        const free = await ask({ most: 'negative-camber', margin: 1.5 });
        expect(free.rows.map((row) => [row.mark_1, row.stopped_by])).toEqual([
            [-3.5, 'margin'],
            [-3.5, 'margin'],
        ]);
        expect(far.notes.join(' ')).toContain('check clearance over full lock and travel');
    });

    test('a limit of the class is kept with 95 %', async () => {
        const { rows, notes } = await ask({ most: 'negative-camber', limit: -1.2 });
        for (const row of rows) {
            expect(row.stopped_by).toBe('limit');
            expect(row.p_in_tolerance!).toBeGreaterThanOrEqual(0.95);
            const sd = (row.camber_high_deg! - row.camber_low_deg!) / 2 / 1.959964;
            expect(row.p_in_tolerance!).toBeCloseTo(phi((row.camber_deg! + 1.2) / sd), 6);
            // Half a mark further, 0.087 deg, would not.
            expect(phi((row.camber_deg! - 0.087 + 1.2) / sd)).toBeLessThan(0.95);
        }
        expect(notes.join(' ')).toContain('within the limit of -1.20 deg');
    });

    test('the other angle loses no more than is allowed', async () => {
        // Index 3 at 240 degrees: a mark is 1 mm inboard and 1.732 mm forward, 0.157 deg of caster.
        const { rows } = await ask({ most: 'negative-camber', lose: 0.5 }, { index: 3, vehicle: 'one side' });
        expect(rows[0]!.caster_change_deg!).toBeGreaterThanOrEqual(-0.5);
        expect(rows[0]!.stopped_by).toBe('lose');
        await expect(ask({ most: 'negative-camber', margin: 6 })).rejects.toThrow(
            marginTooWide({ margin_marks: 6, limit_deg: null, lose_deg: null }, 'K'),
        );
    });
});

describe('--back-to and history', () => {
    test('marks alone: the old marks, the angles to expect, and that they come back', async () => {
        const { rows, notes } = await ask({ backTo: 'street' }, { vehicle: 'back' });
        expect(rows.map((row) => [row.corner, row.mark_1, row.marks_alone])).toEqual([
            ['FL', 2, true],
            ['FR', 2, true],
        ]);
        // From mark -3 to mark 2: 10 mm outboard.
        expect(rows[0]!.camber_deg).toBeCloseTo(-1.17 + 0.87, 9);
        expect(rows[0]!.wanted_camber_deg).toBeCloseTo(-0.3, 9);
        expect(rows[0]!.toe_put_back_deg).toBeCloseTo(-rows[0]!.toe_change_deg, 9);
        expect(notes.join(' ')).toContain('Marks alone bring camber and caster back');
    });

    test('a day names the newest setting left by then', async () => {
        const { notes } = await ask({ backTo: '2026-02-01' }, { vehicle: 'back' });
        expect(notes[0]).toContain('Back to street of 2026-01-10');
        await expect(ask({ backTo: '2025-12-31' }, { vehicle: 'back' })).rejects.toThrow(
            noSettingBefore('2025-12-31', 'back', 'street', '2026-01-10'),
        );
        await expect(ask({ backTo: 'rain' }, { vehicle: 'back' })).rejects.toThrow(
            noSettingOfVisit('rain', 'back', ['track', 'street']),
        );
    });

    // P(one of four independent angles beyond 2.2 standard deviations) = 1 - 0.972^4 = 11 %, beyond 2.8: 2 %.
    test.each([
        [2.2, true],
        [2.8, false],
    ])('one of four angles off by %f standard deviations: marks alone will do: %s', async (off, alone) => {
        const { rows, notes } = await ask({ backTo: 'street' }, { vehicle: `off ${off}` });
        expect(rows.map((row) => row.marks_alone)).toEqual([true, alone]);
        expect(notes.join(' ')).toContain(
            `off by +${(off * backSd).toFixed(2)}, standard uncertainty ${backSd.toFixed(2)}`,
        );
        expect(notes.join(' ').includes('Marks alone will not do')).toBe(!alone);
    });

    test('what the plates do not explain is said: 1 deg more than the marks', async () => {
        const { rows, notes } = await ask({ backTo: 'street' }, { vehicle: 'bent' });
        expect(rows[0]).toMatchObject({ mark_1: 2, marks_alone: false });
        expect(notes.join(' ')).toContain('Marks alone will not do: front left camber by -1.03 deg');
        expect(notes.join(' ')).toContain(
            'Since then the spring was changed on 2026-07-01 (softer), the car was hit on 2026-07-02: the old marks may go with other angles now.',
        );
        await expect(ask({ backTo: 'first' }, { vehicle: 'stock' })).rejects.toThrow(
            backToOriginal('first', 'FL'),
        );
        await expect(ask({ backTo: 'x' })).rejects.toThrow(nothingLeft('A'));
    });

    test('history: newest first, with intervals, and whether a target was met', async () => {
        const { rows, notes } = await history(db, { vehicle: 'back' });
        expect(
            rows.map((row) => [row.visit, row.corner, row.mark_1, row.stands_now, row.met_as_read]),
        ).toEqual([
            ['track', 'FL', -3, true, null],
            ['track', 'FR', -3, true, null],
            ['street', 'FL', 2, false, true],
            ['street', 'FR', 2, false, true],
        ]);
        const half = 1.959964 * Math.sqrt(0.05 ** 2 + 0.06 ** 2 + 0.05 ** 2);
        expect(rows[2]!.camber_deg).toBeCloseTo(-0.3, 9);
        expect(rows[2]!.camber_high_deg).toBeCloseTo(-0.3 + half, 6);
        expect(rows[2]!.met).toBe('inside');
        expect(notes[0]).toContain('--back-to street');
    });
});

test('what cannot be read says what to write instead', () => {
    const wrong: [Partial<AskOptions>, string][] = [
        [{}, oneAim()],
        [{ target: ['T'], equal: true }, oneAim()],
        [{ change: ['camber=-0,5'] }, unreadableChange('camber=-0,5')],
        [{ change: ['toe=0.1'] }, unreadableChange('toe=0.1')],
        [{ change: ['camber=-0.5', 'FL.camber=-0.2'] }, unreadableChange('FL.camber=-0.2')],
        [{ equal: 'toe' }, unreadableAngles('toe')],
        [{ equal: true, limit: -3 }, onlyWith('--limit', '--most')],
        [{ most: 'negative-camber', within: 0.1 }, onlyWith('--within', '--change, --equal and --back-to')],
    ];
    for (const [options, message] of wrong) expect(() => parseAsk({ ...none, ...options })).toThrow(message);
    expect(unreadableChange('toe=0.1')).toContain('Toe is not set by the plates');
});

test('toe in turns: 110 mm sin(0.78 deg) is one turn of 1.5 mm, 130 mm needs 0.66 deg (issue 17, checked by hand)', () => {
    const turns = (deg: number, arm_mm: number, turn_mm: number) =>
        toeInTurns(deg, { diameter_mm: null, arm_mm, turn_mm });
    expect(turns(0.7813, 110, 1.5)).toBeCloseTo(1, 3);
    expect(turns(0.6611, 130, 1.5)).toBeCloseTo(1, 3);
    expect(turns(0.7813, 110, 3)).toBeCloseTo(0.5, 3);
    expect(toeInTurns(0.3, { diameter_mm: null, arm_mm: null, turn_mm: 1.5 })).toBeNull();
});

test('one mark of 2 mm is 0.174 deg of camber at index 1, half of it and 1.732 mm along the car at index 2', async () => {
    const rows = await db.cells(
        `select * from mark_worths('X') where kit = 'K' order by hand desc, plate_index`,
    );
    expect(rows).toHaveLength(6);
    expect(rows[0]).toMatchObject({ hand: 'own', out_mm: 2, aft_mm: 0, toe_deg: null });
    expect(rows[0]!.camber_deg).toBeCloseTo(2 * 0.087, 9);
    expect(rows[0]!.camber_high_deg).toBeCloseTo(2 * (0.087 + 1.959964 * 0.01), 6);
    expect(rows[1]!.camber_deg).toBeCloseTo(-0.087, 6);
    expect(rows[1]!.caster_deg).toBeCloseTo(2 * 0.0905 * Math.sin((2 * Math.PI) / 3), 6);
    // The other hand mirrors the outboard part.
    expect(rows[4]!.camber_deg).toBeCloseTo(0.087, 6);
});

test('the limits of a class: how likely the inspector reads over them, and --most keeps to them', async () => {
    const limits = { class: 'C' };
    const { rows, notes } = await ask({ change: ['camber=-0.3'] }, limits);
    for (const row of rows) {
        const sd = (row.camber_high_deg! - row.camber_low_deg!) / (2 * 1.959963984540054);
        const p = phi((-1.2 - row.camber_deg!) / Math.sqrt(sd * sd + 0.01));
        expect(row.p_camber_over).toBeCloseTo(p, 6);
        expect(row.p_caster_over).toBeNull();
    }
    expect(notes[1]).toContain('Class C allows camber no more negative than -1.20 deg');
    const free = await ask({ most: 'negative-camber' });
    const kept = await ask({ most: 'negative-camber' }, limits);
    expect(free.rows[0]!.class).toBeNull();
    for (const [i, row] of kept.rows.entries()) {
        expect(row.stopped_by).toBe('limit');
        expect(row.p_camber_over!).toBeLessThanOrEqual(0.05);
        expect(row.camber_deg!).toBeGreaterThan(free.rows[i]!.camber_deg!);
        // One step of half a mark, 0.087 deg, would be too much.
        const sd = (row.camber_high_deg! - row.camber_low_deg!) / (2 * 1.959963984540054);
        const next = phi((-1.2 - (row.camber_deg! - 0.087)) / Math.sqrt(sd * sd + 0.01));
        expect(next).toBeGreaterThan(0.05);
    }
    await expect(ask({ equal: true }, { class: 'Y only' })).rejects.toThrow(
        classNotForChassis('Y only', 'X', ['Y']),
    );
    expect(() =>
        parseAsk({ target: [], change: [], most: 'negative-camber', limit: -2, class: 'C' }),
    ).toThrow(limitOrClass());
});
