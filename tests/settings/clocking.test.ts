import { expect, test } from 'vitest';
import type { ClockingRow } from '../../src/contracts/results/clocking.js';
import { type ClockingQuestion, clocking, clockingNeeds } from '../../src/model/clocking.js';
import { modelOf, type Rows } from '../support/memory.js';
import { exactMoves, plainKit, standing } from '../support/settings.js';

const original = { kit: null, plate_index: null, mark_1: null };
const slopes = { camber: [0.09, 0], caster: [0, 0.094], toe: [-0.03, 0] } as never;
const car = [standing('FL', original), standing('FR', original)];

async function ask(
    target: Rows[number],
    question: Partial<ClockingQuestion> = {},
    readings: Rows = [...exactMoves('X', slopes), ...car],
    kit: Rows[number] = plainKit,
) {
    const db = await modelOf(
        { kits: [kit], readings, targets: [{ target: 'T', ...target }] },
        1,
        clockingNeeds,
    );
    try {
        return await clocking(db, { vehicle: 'A', kit: 'K', targets: ['T'], ...question });
    } finally {
        db.close();
    }
}

const camberOnly = { camber_deg: -1.2, camber_tol_deg: 0.2 };

test('18 ways: each front a plate of the pair, each of 3 indices; areas by hand', async () => {
    const { rows } = await ask(camberOnly);
    expect(rows).toHaveLength(18 * 2);
    for (let rank = 1; rank <= 18; rank++) {
        const [left, right] = rows.filter((row) => row.rank === rank);
        expect([left!.corner, right!.corner]).toEqual(['FL', 'FR']);
        expect(left!.plate_hand).not.toBe(right!.plate_hand);
    }
    // Marks -5..5 of 2 mm: 10 mm either way across at index 1, 5 mm across and 8.66 mm along at index 2. Slopes are drawn a
    // little towards the prior.
    const first = rows.find(
        (row) => row.corner === 'FL' && row.plate_hand === 'left' && row.plate_index === 1,
    )!;
    expect(first.camber_min_deg).toBeCloseTo(-0.5 - 0.9, 1);
    expect(first.camber_max_deg).toBeCloseTo(-0.5 + 0.9, 1);
    expect(first.caster_max_deg! - first.caster_min_deg!).toBeLessThan(0.05);
    const second = rows.find(
        (row) => row.corner === 'FL' && row.plate_hand === 'left' && row.plate_index === 2,
    )!;
    expect(second.camber_min_deg).toBeCloseTo(-0.5 - 0.45, 1);
    expect(second.caster_max_deg).toBeCloseTo(7 + 0.094 * 8.66, 1);
});

test('the best way reaches the target, is alike left and right and takes each plate on its own side', async () => {
    const { rows, notes } = await ask(camberOnly);
    const best = rows.filter((row) => row.rank === 1);
    expect(best.map((row) => row.plate_hand)).toEqual(['left', 'right']);
    expect(new Set(best.map((row) => row.plate_index)).size).toBe(1);
    for (const row of best)
        expect(row).toMatchObject({ reachable: true, symmetrical: true, note: 'left and right alike' });
    expect(notes[0]).toContain('reaches T');
    const ranked = rows.map((row) => row.rank);
    expect(ranked).toEqual([...ranked].sort((a, b) => a - b));
});

test('caster decides the index: 0.6 deg more caster needs the slot along the car', async () => {
    const { rows } = await ask({ ...camberOnly, camber_deg: -0.8, caster_deg: 7.6, caster_tol_deg: 0.2 });
    const best = rows.filter((row) => row.rank === 1);
    for (const row of best) expect(row).toMatchObject({ reachable: true, plate_index: 2 });
    const across = rows.filter((row) => row.plate_index === 1);
    for (const row of across) expect(row.note).toContain('out of reach by');
});

test('--keep-caster leaves out settings with less caster than the original mount', async () => {
    // Camber -0.8 at the own plates' index 3 goes forward; index 2 goes rearward with the same camber.
    const target = { camber_deg: -0.9, camber_tol_deg: 0.1 };
    const behind = { ...plainKit, centre_aft_mm: -9 };
    const free = await ask(target, {}, undefined, behind);
    const kept = await ask(target, { keepCaster: true }, undefined, behind);
    const losing = kept.rows.filter((row) => row.note.startsWith('every setting loses caster'));
    expect(losing.length).toBeGreaterThan(0);
    for (const row of losing) expect(row).toMatchObject({ p_in_tolerance: 0, reachable: false });
    for (const row of kept.rows.filter((one) => one.rank === 1))
        expect(row.caster_deg!).toBeGreaterThanOrEqual(7 - 1e-9);
    expect(free.rows.some((row) => row.rank <= 3 && row.caster_deg! < 7)).toBe(true);
});

test('left and right exchanged: the same ways on the other side', async () => {
    const [plain, swapped] = await Promise.all(
        [
            [standing('FL', { ...original, camber_deg: -0.3 }), standing('FR', original)],
            [standing('FR', { ...original, camber_deg: -0.3 }), standing('FL', original)],
        ].map((readings) => ask(camberOnly, {}, [...exactMoves('X', slopes), ...readings])),
    );
    const other = { FL: 'FR', FR: 'FL', left: 'right', right: 'left' } as const;
    const key = (row: ClockingRow, mirror: boolean) =>
        [
            mirror ? other[row.corner] : row.corner,
            mirror ? other[row.plate_hand] : row.plate_hand,
            row.plate_index,
            row.mark_1,
            row.p_in_tolerance!.toFixed(9),
        ].join(' ');
    expect(swapped!.rows.map((row) => key(row, true)).sort()).toEqual(
        plain!.rows.map((row) => key(row, false)).sort(),
    );
});

test('without a car: the median of the chassis, each car brought back to its original mount', async () => {
    const cars = [-0.4, -0.5, -0.9].map((camber_deg, i) =>
        standing('FL', {
            ...(i === 1 ? { mark_1: 2, camber_deg: camber_deg + 4 * 0.09 } : { ...original, camber_deg }),
            vehicle: `car ${i}`,
        }),
    );
    const { rows, notes } = await ask(camberOnly, { vehicle: undefined, chassis: 'X' }, [
        ...exactMoves('Y', slopes),
        ...cars,
    ]);
    expect(rows).toHaveLength(36);
    expect(rows[0]!.vehicle).toBeNull();
    const left = rows.find((row) => row.corner === 'FL' && row.plate_index === 1)!;
    // X has no moves of its own: its slope lies between 0.087 (geometry) and 0.09 (chassis Y).
    expect((left.camber_min_deg! + left.camber_max_deg!) / 2).toBeCloseTo(-0.5, 1);
    expect(notes.join(' ')).toContain('median car of X');
    expect(notes.join(' ')).toContain('so the other chassis and geometry have to');
});

test('without a kit: every kit that fits in its best way, those that reach the target first; none of these where none does', async () => {
    const kits = [
        plainKit,
        { ...plainKit, kit: 'short', mark_min: -1, mark_max: 1 },
        { ...plainKit, kit: 'for Z', chassis: 'Z' },
        { kit: 'endless', mark_pitch_mm: 2 },
    ];
    const readings = [standing('FL', original), standing('FR', { ...original, caster_deg: null })];
    const targets = [
        { target: 'T', ...camberOnly },
        { target: 'far', camber_deg: -3, camber_tol_deg: 0.2 },
    ];
    const db = await modelOf({ kits, readings, targets }, 1, clockingNeeds);
    try {
        const one = await clocking(db, { vehicle: 'A', targets: ['T'] });
        expect(one.rows.map((row) => [row.rank, row.kit, row.corner, row.reachable])).toEqual([
            [1, 'K', 'FL', true],
            [1, 'K', 'FR', true],
            [2, 'short', 'FL', false],
            [2, 'short', 'FR', false],
        ]);
        const { rows } = await clocking(db, { vehicle: 'A', targets: ['T'], kit: 'K' });
        expect(one.rows.slice(0, 2)).toEqual(rows.filter((row) => row.rank === 1));
        // Geometry: caster 0.0905 deg/mm rearward (sql/gauges/angle_priors).
        expect(rows[0]!.caster_from_original_deg).toBeCloseTo(
            0.0905 * (2 * rows[0]!.mark_1 * Math.sin(((rows[0]!.plate_index - 1) * 2 * Math.PI) / 3)),
            6,
        );
        expect(rows[1]!.caster_deg).toBeNull();
        expect(one.notes[0]).toMatch(/^1 of 2 kits bring A to T: K \(/);
        expect(one.notes.join(' ')).toContain('give no mark_min and mark_max: endless');
        expect(one.notes.join(' ')).toContain('Caster was not read where the bearing sits now');
        const none = await clocking(db, { vehicle: 'A', targets: ['far'] });
        expect(none.notes[0]).toMatch(/^None of these kits brings A to far; the nearest is K/);
    } finally {
        db.close();
    }
});
