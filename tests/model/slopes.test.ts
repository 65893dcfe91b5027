import { expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import type { SlopeRow } from '../../src/contracts/results/slopes.js';
import { check } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { slopes, slopesNeeds } from '../../src/model/slopes.js';
import { modelOf, type Rows } from '../support/memory.js';

const kit = {
    kit: 'K',
    axis_deg: 0,
    mark_pitch_mm: 2,
    mark_min: -6,
    mark_max: 6,
    centre_out_mm: 0,
    centre_aft_mm: 0,
};

/** One adjust visit: readings before and after with measured offsets, changes exactly linear in the slopes given. */
function visit(
    vehicle: string,
    from: [number, number],
    to: [number, number],
    change: Partial<Record<'camber_deg' | 'caster_deg', number>>,
    chassis = 'X',
) {
    const row = {
        vehicle,
        chassis,
        corner: 'FL',
        measured_at: '2026-01-01',
        visit: `${vehicle} ${from} ${to}`,
        visit_kind: 'adjust',
        kit: 'K',
    };
    return [
        {
            ...row,
            phase: 'before',
            offset_out_mm: from[0],
            offset_aft_mm: from[1],
            camber_deg: -1,
            caster_deg: 6,
        },
        {
            ...row,
            phase: 'after',
            offset_out_mm: to[0],
            offset_aft_mm: to[1],
            camber_deg: -1 + (change.camber_deg ?? 0),
            caster_deg: 6 + (change.caster_deg ?? 0),
        },
    ];
}

async function ask(readings: Rows, kits: Rows = [kit]) {
    const db = await modelOf({ readings, kits }, undefined, slopesNeeds);
    const answer = await slopes(db);
    db.close();
    const row = (response: string, axis: string, chassis = 'X') =>
        answer.rows.find(
            (r) => r.response === response && r.axis === axis && r.chassis === chassis,
        ) as SlopeRow;
    return { ...answer, row };
}

test('moves without noise give their slopes, jointly for both axes', async () => {
    const moves: [string, [number, number], [number, number]][] = [
        ['A', [0, 0], [6, 0]],
        ['B', [2, 1], [-4, 5]],
        ['C', [0, -3], [1, 4]],
        ['D', [-5, 2], [5, -2]],
    ];
    const { row } = await ask(
        moves.flatMap(([vehicle, from, to]) =>
            visit(vehicle, from, to, {
                camber_deg: 0.09 * (to[0] - from[0]) + 0.002 * (to[1] - from[1]),
                caster_deg: 0.1 * (to[1] - from[1]),
            }),
        ),
    );
    expect(row('camber_deg', 'out').estimate_deg_per_mm).toBeCloseTo(0.09, 6);
    expect(row('camber_deg', 'aft').estimate_deg_per_mm).toBeCloseTo(0.002, 6);
    expect(row('caster_deg', 'aft').estimate_deg_per_mm).toBeCloseTo(0.1, 6);
    expect(row('caster_deg', 'out').estimate_deg_per_mm).toBeCloseTo(0, 6);
    expect(row('camber_deg', 'out')).toMatchObject({
        move_count: 4,
        vehicle_count: 4,
        flag: null,
        reason: null,
        downweighted_count: 0,
    });
    // 57.3 deg / (0.09 deg/mm): the length that the contract calls effective.
    expect(row('camber_deg', 'out').effective_length_mm).toBeCloseTo(180 / Math.PI / 0.09, 3);
    expect(row('toe_deg', 'out')).toMatchObject({
        estimate_deg_per_mm: null,
        std_error_deg_per_mm: null,
        move_count: 0,
    });
    expect(row('toe_deg', 'out').reason).toContain('no usable move');
});

test('an axis that the chassis never moved along is null with a reason, the other one is estimated', async () => {
    const { row } = await ask(
        ['A', 'B', 'C'].flatMap((v, i) => visit(v, [0, 1], [4 + i, 1], { camber_deg: 0.08 * (4 + i) })),
    );
    expect(row('camber_deg', 'out').estimate_deg_per_mm).toBeCloseTo(0.08, 6);
    expect(row('camber_deg', 'aft')).toMatchObject({
        estimate_deg_per_mm: null,
        move_count: 0,
        reason: 'the bearing never moved along this axis with one kit in place',
    });
    expect(row('camber_deg', 'aft').shrunk_deg_per_mm).not.toBeNull();
});

test('an angle that was not read around the moves of an axis is told apart from a bearing that never moved', async () => {
    const { row } = await ask(
        ['A', 'B', 'C'].flatMap((v, i) => [
            ...visit(v, [0, 1], [4 + i, 1], { camber_deg: 0.08 * (4 + i) }).map((reading) => ({
                ...reading,
                phase: reading.phase === 'after' ? 'moved' : 'before',
                toe_deg: reading.offset_out_mm / 100,
            })),
            ...visit(v, [0, 1], [0, 5 + i], { caster_deg: 0.1 * (4 + i) }).map((reading) => ({
                ...reading,
                toe_deg: 0.05,
            })),
        ]),
    );
    expect(row('toe_deg', 'out')).toMatchObject({ move_count: 3, reason: null });
    expect(row('toe_deg', 'aft').reason).toBe(
        'no usable move: no visit of this chassis holds two readings of this angle around a move along this axis with one kit in place and the tie rods untouched',
    );
    expect(row('camber_deg', 'aft')).toMatchObject({ move_count: 3, reason: null });
});

test('fewer than four installs of a kit are no moves, though both offsets are known', async () => {
    const installs = ['A', 'B', 'C'].flatMap((v, i) =>
        visit(v, [0, 0], [4 + i, 3], { camber_deg: 0.3 }).map((reading) =>
            reading.phase === 'before'
                ? { ...reading, kit: null, offset_out_mm: null, offset_aft_mm: null }
                : reading,
        ),
    );
    const { row } = await ask(installs);
    expect(row('camber_deg', 'out').reason).toBe(
        'no usable move: no visit of this chassis holds two readings of this angle at two known offsets with one kit in place, and installs tell from four of a kit on',
    );
});

test('moves along one slanting line: both axes null, the shrunken values keep what the line tells', async () => {
    const { row } = await ask(
        ['A', 'B', 'C', 'D'].flatMap((v, i) =>
            visit(v, [0, 0], [4 + i, 8 + 2 * i], { camber_deg: 0.1 * (4 + i) }),
        ),
    );
    const out = row('camber_deg', 'out');
    const aft = row('camber_deg', 'aft');
    expect([out.estimate_deg_per_mm, aft.estimate_deg_per_mm]).toEqual([null, null]);
    expect(out.reason).toContain('one slanting line');
    expect(out.shrunk_deg_per_mm! + 2 * aft.shrunk_deg_per_mm!).toBeCloseTo(0.1, 2);
});

test('the command that the remark on down-weighted changes names lists each of them', async () => {
    const readings = ['A', 'B', 'C', 'D', 'E', 'F'].flatMap((v, i) =>
        visit(v, [0, 0], [4 + i, i % 2], { camber_deg: 0.09 * (4 + i) + (i === 2 ? 0.4 : 0.004 * (i % 3)) }),
    );
    const { notes, rows } = await ask(readings);
    const count = rows.find((row) => row.response === 'camber_deg')!.downweighted_count;
    expect(count).toBeGreaterThan(0);
    const only = 'downweighted_moves';
    expect(notes.join(' ')).toContain(`check --only ${only} --all lists them`);
    const db = await modelOf({ readings, kits: [kit] }, 1, checkNeeds({ only }));
    const found = (await check(db, { only })).rows;
    db.close();
    expect(found.filter((row) => row.check === only)).toHaveLength(count);
});

test('one vehicle gives a slope but no standard error; two moves lean on the prior', async () => {
    const { row } = await ask([
        ...visit('A', [0, 0], [5, 0], { camber_deg: 0.3 }),
        ...visit('A', [0, 0], [4, 0], { camber_deg: 0.24 }),
    ]);
    const out = row('camber_deg', 'out');
    expect(out.estimate_deg_per_mm).toBeCloseTo(0.06, 6);
    expect(out).toMatchObject({
        std_error_deg_per_mm: null,
        conf_low_deg_per_mm: null,
        df: null,
        vehicle_count: 1,
        move_count: 2,
    });
    expect(out.reason).toContain('one vehicle');
    expect(out.shrunk_deg_per_mm!).toBeGreaterThan(0.06);
    expect(out.shrunk_deg_per_mm!).toBeLessThan(0.087);
});

test('one car alone moved across the slots of all others: neither axis has a standard error, and nothing is flagged', async () => {
    const along = (v: string, i: number) =>
        visit(v, [0, 0], [Math.sqrt(3) * (2 + (i % 3)), 2 + (i % 3)], {
            caster_deg: 0.085 * (2 + (i % 3)) + 0.2 * ((i % 2) - 0.5),
        });
    const { row } = await ask([
        ...['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H'].flatMap(along),
        ...visit('I', [0, 0], [1, 0], { caster_deg: -0.15 }),
    ]);
    for (const axis of ['out', 'aft'] as const) {
        expect(row('caster_deg', axis)).toMatchObject({ std_error_deg_per_mm: null, flag: null });
        expect(row('caster_deg', axis).reason).toContain('one vehicle');
    }
    expect(row('caster_deg', 'aft').estimate_deg_per_mm).toBeGreaterThan(0.3);
});

test('a chassis without any move gets the prior: 0.087 +- 0.010 deg/mm (from memory, domain of the trade)', async () => {
    const { row } = await ask([
        {
            vehicle: 'A',
            chassis: 'X',
            corner: 'FL',
            measured_at: '2026-01-01',
            visit: 'v',
            visit_kind: 'check',
            phase: 'before',
            camber_deg: -1,
        },
    ]);
    expect(row('camber_deg', 'out').shrunk_deg_per_mm).toBeCloseTo(0.087, 9);
    expect(row('camber_deg', 'out').shrunk_std_error_deg_per_mm).toBeCloseTo(0.01, 9);
});

test.each([
    ['inches', 1 / 25.4, 'inches'],
    ['marks as mm', 1 / 2, 'marks probably written as millimetres'],
    ['sign', -1, 'sign is reversed'],
])('offsets written as %s are flagged', async (_, factor, words) => {
    const { row, notes } = await ask(
        ['A', 'B', 'C', 'D', 'E'].flatMap((v, i) =>
            visit(v, [0, 0], [(6 + i) * factor, 0], { camber_deg: 0.087 * (6 + i) }),
        ),
    );
    expect(row('camber_deg', 'out').flag).toContain(words);
    expect(notes.join(' ')).toContain(words);
});

test('a slope of one vehicle is flagged only where its model error allows it: 0.04 from moves of 2 mm is noise, of 20 mm is not', async () => {
    const asked = async (mm: number) =>
        (
            await ask(
                [0, 1, 2].flatMap((n) => visit('A', [0, 0], [mm + n / 10, 0], { camber_deg: 0.04 * mm })),
            )
        ).row('camber_deg', 'out');
    expect(await asked(2)).toMatchObject({ std_error_deg_per_mm: null, flag: null });
    expect((await asked(20)).flag).not.toBeNull();
});

test('a gross error is down-weighted, counted and does not bend the slope', async () => {
    const good = Array.from({ length: 11 }, (_, i) =>
        visit(`V${i}`, [0, 0], [4 + (i % 4), 0], { camber_deg: 0.09 * (4 + (i % 4)) + 0.01 * ((i % 3) - 1) }),
    );
    const { row, notes } = await ask([...good.flat(), ...visit('W', [0, 0], [6, 0], { camber_deg: -0.54 })]);
    expect(row('camber_deg', 'out').estimate_deg_per_mm).toBeCloseTo(0.09, 2);
    expect(row('camber_deg', 'out').downweighted_count).toBe(1);
    expect(notes.join(' ')).toContain('1 change was down-weighted');
});

const fleet = simulateFleet({
    seed: 5,
    designs: designs.slice(0, 3),
    vehicles: 6,
    visits: 2,
    grossShare: 0.05,
});

async function tableText(readings: Rows, threads: number) {
    const db = await modelOf({ readings, kits: fleet.kits }, threads, ['slopes', 'move_fits']);
    const text: Record<string, string> = {};
    for (const table of ['slopes', 'slopes_shrunk', 'slope_populations', 'slope_estimates', 'move_fits']) {
        text[table] = JSON.stringify(await db.cells(`select * from ${table} order by all`));
    }
    db.close();
    return text;
}

test('bit for bit the same for any thread count and row order', async () => {
    const shuffled = [...fleet.readings].sort(
        (a, b) =>
            ((JSON.stringify(a).length * 7919) % 101) - ((JSON.stringify(b).length * 7919) % 101) ||
            (String(a.visit) < String(b.visit) ? 1 : -1),
    );
    const one = await tableText(fleet.readings, 1);
    expect(await tableText(shuffled, 4)).toEqual(one);
    expect(await tableText([...fleet.readings].reverse(), 2)).toEqual(one);
});

test('left and right mirrored, or all angles shifted: the same slopes', async () => {
    const base = (await ask(fleet.readings, fleet.kits)).rows;
    const otherSide: Record<string, string> = { FL: 'FR', FR: 'FL', left: 'right', right: 'left' };
    const mirrored = await ask(
        fleet.readings.map((r) => ({
            ...r,
            corner: otherSide[String(r.corner)],
            plate_hand: otherSide[String(r.plate_hand)],
        })),
        fleet.kits,
    );
    expect(mirrored.rows).toEqual(base);
    const shifted = await ask(
        fleet.readings.map((r) => ({
            ...r,
            sai_deg: (r.sai_deg as number) + 2,
            toe_deg: (r.toe_deg as number) + 0.5,
        })),
        fleet.kits,
    );
    for (const [i, row] of shifted.rows.entries()) {
        expect(row.estimate_deg_per_mm).toBeCloseTo(base[i]!.estimate_deg_per_mm!, 6);
    }
});
