import { designs } from '../../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../../fixtures/physics/fleet.js';
import { onePlate } from '../../../fixtures/physics/kits.js';
import { Random } from '../../../fixtures/physics/random.js';
import type { Database } from '../../../src/db/database.js';
import { gaugesNeeds } from '../../../src/model/gauges.js';
import { reportQueries } from '../../../src/report/registry.js';
import { modelOf } from '../memory.js';
import { longName } from './card.js';
import { markup } from './slopes.js';

/** What the second gauge of the field adds to camber, deg. */
export const added = 0.12;

/** An in-memory field of which every state is read by two gauges, twice each, the second with {@link added} on it; names are long and markup. */
export default async function database(): Promise<Database> {
    const fleet = simulateFleet({
        seed: 31,
        designs: designs.slice(0, 2),
        vehicles: 4,
        visits: 2,
        plates: [onePlate],
    });
    const random = new Random(8);
    const read = (value: unknown, sd: number, more = 0) =>
        value === null || value === undefined
            ? null
            : Math.round(100 * ((value as number) + more + sd * random.normal())) / 100;
    const readings = fleet.readings.flatMap((row) =>
        [1, 2, 3, 4].map((repeat) => ({
            ...row,
            repeat,
            gauge: repeat < 3 ? markup : longName,
            technician: repeat % 2 === 0 ? 'tech A' : 'tech B',
            camber_deg: read(row.camber_deg, 0.03, repeat < 3 ? 0 : added),
            caster_deg: read(row.caster_deg, 0.08),
            toe_deg: read(row.toe_deg, 0.02),
        })),
    );
    return modelOf(
        {
            readings,
            kits: fleet.kits,
            targets: [
                {
                    target: 'street',
                    camber_deg: -1,
                    camber_tol_deg: 0.15,
                    caster_deg: 6,
                    caster_tol_deg: 0.5,
                    toe_deg: 0,
                    toe_tol_deg: 0.05,
                },
            ],
        },
        1,
        [...gaugesNeeds, ...reportQueries(['gauges'])],
    );
}
