import { designs } from '../../../fixtures/physics/chassis.js';
import { carefulSetter, type Setter, simulateInstalls } from '../../../fixtures/physics/installs.js';
import type { Database } from '../../../src/db/database.js';
import { reportQueries } from '../../../src/report/registry.js';
import { modelOf } from '../memory.js';
import { markup } from './slopes.js';

const crew: Setter[] = [
    { ...carefulSetter, technician: 'Adabelle' },
    { ...carefulSetter, technician: markup, camberBias_deg: 0.06 },
    {
        ...carefulSetter,
        technician: 'Cyrano',
        camber_sd_deg: 0.14,
        gauge: { ...carefulSetter.gauge, gauge: 'rack B' },
    },
];

/** Invented installs of two platforms by three people, some at the end of the scale, some with toe left as it came out. */
export default function auditDatabase(): Promise<Database> {
    const { readings, kits, targets } = simulateInstalls({
        seed: 4,
        designs: designs.slice(0, 2),
        vehicles: 60,
        goal: { camber_deg: -1.3, caster_deg: 6.4, toe_deg: 0.05 },
        setters: crew,
        indices: [1, 2, 3],
    });
    const written = readings.map((row, index) => ({
        ...row,
        ...(row.vehicle === 'OTTER-2' ? { vehicle: markup } : {}),
        ...(row.phase === 'after' && index % 17 === 0 ? { toe_reset: 'no' } : {}),
    }));
    return modelOf(
        { readings: written, kits, targets: [{ ...targets[0], cross_camber_max_deg: 0.2 }] },
        1,
        reportQueries(['audit']),
    );
}
