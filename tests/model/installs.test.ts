import { expect, test } from 'vitest';
import { slopes, slopesNeeds } from '../../src/model/slopes.js';
import { installField, seeded } from '../support/kitInstalls.js';
import { modelOf, type Rows } from '../support/memory.js';

const truth = { camber_out: 0.09, camber_aft: -0.01, caster_out: 0.005, caster_aft: 0.1 };
const constants = { camber: 0.4, caster: -0.6 };
const noise = { camber: 0.03, caster: 0.06 };

async function slopesOf(readings: Rows) {
    const db = await modelOf({ readings }, undefined, [...slopesNeeds, 'moves']);
    const answer = await slopes(db);
    const moves = await db.cells('select count(*) as n from moves');
    db.close();
    const at = (response: string, axis: string) =>
        answer.rows.find((row) => row.response === response && row.axis === axis)!;
    return { ...answer, moveCount: moves[0]!.n, at };
}

test('24 installs tell the slopes of a chassis whatever the kit adds, and say that they are installs', async () => {
    const found = await slopesOf(
        installField({ cars: 24, slopes: truth, constants, noise: { camber: 0, caster: 0 } }, seeded(1)),
    );
    for (const [response, axis, value] of [
        ['camber_deg', 'out', 0.09],
        ['camber_deg', 'aft', -0.01],
        ['caster_deg', 'out', 0.005],
        ['caster_deg', 'aft', 0.1],
    ] as const) {
        const row = found.at(response, axis);
        // Readings are rounded to hundredths.
        expect(Math.abs(row.estimate_deg_per_mm! - value)).toBeLessThan(0.0006);
        expect(row).toMatchObject({ move_count: 48, install_count: 48, vehicle_count: 24, reason: null });
    }
    // What is said of moves with one kit does not count them.
    expect(found.moveCount).toBe(0);
    expect(found.notes.join(' ')).toContain('X: up to 48 of the moves of an angle are installs');
});

test('a kit set to one offset on every car tells of no slope; three installs are too few', async () => {
    const field = installField({ cars: 24, slopes: truth, constants, noise }, seeded(2)).map((row) =>
        row.kit === undefined ? row : { ...row, offset_out_mm: 4, offset_aft_mm: 1 },
    );
    const alike = await slopesOf(field);
    expect(alike.at('camber_deg', 'out')).toMatchObject({
        estimate_deg_per_mm: null,
        install_count: 48,
        reason: expect.stringContaining('constant of the kit'),
    });
    const along: Rows = [0, 1, 2, 3, 4].flatMap((n) =>
        ['before', 'after'].map((phase) => ({
            ...field.find(({ kit }) => kit !== undefined)!,
            vehicle: `Y${n}`,
            visit: 'along',
            visit_kind: 'adjust',
            phase,
            offset_out_mm: phase === 'before' ? 0 : 4 + n,
            camber_deg: phase === 'before' ? -1 : -1 + 0.09 * (4 + n),
        })),
    );
    const slot = await slopesOf([...field, ...along]);
    expect(slot.at('camber_deg', 'out').estimate_deg_per_mm).toBeCloseTo(0.09, 2);
    expect(slot.at('camber_deg', 'aft').reason).toContain('constant of the kit');
    const few = await slopesOf(
        installField({ cars: 24, slopes: truth, constants, noise }, seeded(2)).slice(0, 6),
    );
    expect(few.at('camber_deg', 'out')).toMatchObject({
        estimate_deg_per_mm: null,
        install_count: 0,
        move_count: 0,
    });
});

test('installs of two kits have a constant each, and beside moves with one kit they make slopes surer', async () => {
    const noisy = { slopes: truth, noise };
    const random = seeded(3);
    const first = installField({ ...noisy, cars: 12, constants }, random);
    const second = installField(
        { ...noisy, cars: 12, kit: 'L', constants: { camber: -0.5, caster: 0.3 } },
        random,
    ).map((row) => ({ ...row, vehicle: `L${row.vehicle}`, visit: `L${row.visit}` }));
    // A visit of each of six cars that moves the plate alone.
    const moved: Rows = Array.from({ length: 6 }, (_, n) =>
        [0, 1].map((i) => ({
            vehicle: `X${n}`,
            chassis: 'X',
            corner: 'FL',
            measured_at: '2026-02-01',
            visit: `m${n}`,
            visit_kind: 'adjust',
            phase: i === 0 ? 'before' : 'after',
            kit: 'K',
            toe_deg: 0.1,
            offset_out_mm: i * (n - 2.5),
            offset_aft_mm: i * (n % 3),
            camber_deg: -1 + i * (0.09 * (n - 2.5) - 0.01 * (n % 3)) + 0.02 * random.normal(),
        })),
    ).flat();
    const [both, alone, all] = [
        await slopesOf([...first, ...second]),
        await slopesOf(moved),
        await slopesOf([...first, ...second, ...moved]),
    ];
    for (const found of [both, all]) {
        const row = found.at('camber_deg', 'out');
        expect(row.install_count).toBe(48);
        expect(row.conf_low_deg_per_mm).toBeLessThan(0.09);
        expect(row.conf_high_deg_per_mm).toBeGreaterThan(0.09);
    }
    expect(alone.at('camber_deg', 'out').install_count).toBe(0);
    expect(all.at('camber_deg', 'out').move_count).toBe(54);
    expect(all.at('camber_deg', 'out').std_error_deg_per_mm).toBeLessThan(
        alone.at('camber_deg', 'out').std_error_deg_per_mm!,
    );
});

test('the order of the rows does not matter', async () => {
    const field = installField({ cars: 10, slopes: truth, constants, noise }, seeded(4));
    const [forth, back] = [await slopesOf(field), await slopesOf([...field].reverse())];
    expect(back.rows).toEqual(forth.rows);
});
