import { expect, test } from 'vitest';
import { designed, designs } from '../../fixtures/physics/chassis.js';
import { anglesAt, asDesigned } from '../../fixtures/physics/corner.js';
import { Linkage } from '../../fixtures/physics/linkage.js';
import { radians } from '../../fixtures/physics/vector.js';
import { check, dataset } from '../../fixtures/reference/checks.js';
import { sweepCaster } from '../../src/units/sweepCaster.js';

// The set turns the left wheel left at +20 degrees: its front points outboard.
const sweepOf = (row: Record<string, string>) => ({
    camber_out_deg: Number(row['camber_at_steer_+20_deg']),
    camber_in_deg: Number(row['camber_at_steer_-20_deg']),
    steer_deg: 20,
});

// Source: checks caster.*, rigid rotation from first principles, recomputed independently.
test('gives back the caster of every exact case, with SAI or with camber straight ahead', () => {
    const rows = dataset('caster_sweep_exact');
    expect(rows.length).toBeGreaterThan(50);
    for (const row of rows) {
        const wanted = Number(row.caster_true_deg);
        expect(sweepCaster(sweepOf(row), { sai_deg: Number(row.sai_deg) })).toBeCloseTo(wanted, 10);
        expect(sweepCaster(sweepOf(row), { camber_deg: Number(row.camber0_deg), toe_deg: 0 })).toBeCloseTo(
            wanted,
            10,
        );
    }
});

test.each([
    ['3.13.0', 3, 13],
    ['5.6.-1.5', 5, 6],
    ['8.13.-1.5', 8, 13],
    ['12.13.1', 12, 13],
])('published cambers %s, to their nine decimals', (id, caster_deg, sai_deg) => {
    const sweep = {
        camber_out_deg: check(`caster.c+20.${id}`).value,
        camber_in_deg: check(`caster.c-20.${id}`).value,
        steer_deg: 20,
    };
    expect(sweepCaster(sweep, { sai_deg })).toBeCloseTo(caster_deg, 7);
    // The small-angle formula, which the check values hold too, is not what is wanted.
    expect(Math.abs(check(`caster.simple.${id}`).value - caster_deg)).toBeGreaterThan(0.001);
});

// Source: fixtures/physics, a strut corner as rigid bodies, written without this formula.
test.each(designs.map((design) => [design.chassis, designed(design)] as const))(
    'gives the caster of the simulated corner %s at any steering angle',
    (_, corner) => {
        const state = { ...asDesigned, offset_out_mm: -4, offset_aft_mm: 6 };
        const wanted = anglesAt(corner, state);
        for (const steer_deg of [5, 10, 20]) {
            const camberAt = (toe_deg: number) => {
                const linkage = new Linkage(corner, state, toe_deg);
                return Math.asin(-linkage.turned(linkage.axis)[2]) / radians;
            };
            const sweep = {
                camber_in_deg: camberAt(steer_deg),
                camber_out_deg: camberAt(-steer_deg),
                steer_deg,
            };
            expect(sweepCaster(sweep, { sai_deg: wanted.sai_deg })).toBeCloseTo(wanted.caster_deg, 6);
            expect(sweepCaster(sweep, wanted)).toBeCloseTo(wanted.caster_deg, 6);
        }
    },
);
