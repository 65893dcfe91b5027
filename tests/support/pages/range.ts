import { designs } from '../../../fixtures/physics/chassis.js';
import { simulateInstalls } from '../../../fixtures/physics/installs.js';
import { slantedPlate, twoScales } from '../../../fixtures/physics/kits.js';
import type { Database } from '../../../src/db/database.js';
import { modelOf } from '../memory.js';
import { markup } from './slopes.js';

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
    return modelOf({
        readings,
        kits: [...kits, { ...slantedPlate }, { ...twoScales, chassis: 'OTTER' }],
        targets: [{ target: 'street', ...angles }, camberOnly],
    });
}
