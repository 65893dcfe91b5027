import { expect, test } from 'vitest';
import { z } from 'zod';
import { designs } from '../../fixtures/physics/chassis.js';
import { anglesAt } from '../../fixtures/physics/corner.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import { drift, driftNeeds } from '../../src/model/drift.js';
import { modelOf } from '../support/memory.js';

const gain = z.object({
    chassis: z.string(),
    gain_deg_per_mm: z.number(),
    std_error_deg_per_mm: z.number(),
    change_count: z.int(),
});

// Two sessions in five raise or lower the car by 5..20 mm, plates slip in one of seven: the linkage of the simulation says the true gain.
test('what a millimetre of ride height does to camber is told from heights that were written, and drift says when to read again', async () => {
    const { readings, kits, sessions, cars } = simulateSessions({
        seed: 77,
        designs: designs.slice(0, 1),
        vehicles: 6,
        sessions: 8,
        attitudeShare: 0.4,
        heights: true,
    });
    const trueGain = (chassis: string) => {
        const gains = cars
            .filter((car) => car.chassis === chassis)
            .flatMap(({ fronts }) => Object.values(fronts))
            .map(({ corner, state }) => {
                const arm_mm = corner.ball[1] - corner.hinge[0][1];
                const at = (rise_mm: number) =>
                    anglesAt(corner, {
                        ...state,
                        arm_deg: state.arm_deg - (Math.asin(rise_mm / arm_mm) * 180) / Math.PI,
                    }).camber_deg;
                return (at(10) - at(-10)) / 20;
            });
        return gains.reduce((sum, one) => sum + one, 0) / gains.length;
    };
    const db = await modelOf({ readings, kits, sessions }, 1, [...driftNeeds, 'height_gains']);
    const rows = await db.rows(
        gain,
        `select ${Object.keys(gain.shape).join(', ')} from height_gains
        where response = 'camber_deg' and gain_deg_per_mm is not null order by chassis`,
    );
    const { notes } = await drift(db);
    db.close();
    expect(rows.length).toBeGreaterThan(0);
    for (const { chassis, gain_deg_per_mm, std_error_deg_per_mm } of rows) {
        expect(std_error_deg_per_mm).toBeLessThan(0.01);
        // Cars of one chassis differ, by a tenth in the simulation.
        expect(Math.abs(gain_deg_per_mm - trueGain(chassis))).toBeLessThan(
            3 * std_error_deg_per_mm + 0.1 * Math.abs(trueGain(chassis)),
        );
    }
    expect(notes.join(' ')).toMatch(
        /On \w+ camber changes by -?0\.0\d+ \+- 0\.0\d+ deg per mm of ride height/,
    );
});
