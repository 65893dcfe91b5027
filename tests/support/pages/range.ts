import { designs } from '../../../fixtures/physics/chassis.js';
import { simulateInstalls } from '../../../fixtures/physics/installs.js';
import { onePlate, slantedPlate, twoScales } from '../../../fixtures/physics/kits.js';
import type { Database } from '../../../src/db/database.js';
import { reportQueries } from '../../../src/report/registry.js';
import { modelOf } from '../memory.js';
import { markup } from './slopes.js';

/** A kit whose plate lies between the steps of the sliders. */
export const odd = 'DUN-4';

/** Invented installs of two platforms with one kit, some at the end of the scale, and two kits that few or none carry. */
export default function rangeDatabase(): Promise<Database> {
    const { readings, kits, targets } = simulateInstalls({
        seed: 6,
        designs: designs.slice(0, 2),
        vehicles: 60,
        goal: { camber_deg: -1.4, caster_deg: 5.6, toe_deg: 0.05 },
        indices: [1, 2],
    });
    const { target: _, ...angles } = targets[0]!;
    const camberOnly = { target: markup, camber_deg: -0.5, camber_tol_deg: 0.2 };
    return modelOf(
        {
            readings,
            kits: [
                ...kits,
                { ...slantedPlate },
                { ...twoScales, chassis: 'OTTER' },
                { ...onePlate, kit: odd, mark_pitch_mm: 1.32, mark_min: -7, mark_max: 7, axis_deg: 3.4 },
            ],
            targets: [{ target: 'street', ...angles }, camberOnly],
        },
        1,
        reportQueries(['range']),
    );
}
