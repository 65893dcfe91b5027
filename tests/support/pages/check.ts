import { designs } from '../../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../../fixtures/physics/fleet.js';
import { onePlate } from '../../../fixtures/physics/kits.js';
import type { Database } from '../../../src/db/database.js';
import { reportQueries } from '../../../src/report/registry.js';
import { modelOf } from '../memory.js';
import { longName } from './card.js';
import { markup } from './slopes.js';

/** An in-memory field in which one car, with a name that looks like markup, lost the sign of a camber, and one with a long name has too high an index. */
export default async function database(): Promise<Database> {
    const fleet = simulateFleet({
        seed: 19,
        designs: designs.slice(0, 1),
        vehicles: 9,
        visits: 4,
        plates: [onePlate],
    });
    const [signless, turned] = fleet.cars.map(({ vehicle }) => vehicle);
    const names = new Map([
        [signless, markup],
        [turned, longName],
    ]);
    const lowest = Math.min(
        ...fleet.readings.flatMap((row) =>
            row.vehicle === signless && row.corner === 'FL' && row.phase === 'after'
                ? [row.camber_deg as number]
                : [],
        ),
    );
    const at = fleet.readings.findIndex((row) => row.vehicle === signless && row.camber_deg === lowest);
    const last = fleet.readings.findLastIndex((row) => row.vehicle === turned && row.kit !== null);
    const readings = fleet.readings.map((row, place) => ({
        ...row,
        vehicle: names.get(row.vehicle as string) ?? row.vehicle,
        camber_deg: place === at ? -(row.camber_deg as number) : row.camber_deg,
        plate_index: place === last ? 7 : row.plate_index,
    }));
    return modelOf({ readings, kits: fleet.kits }, 1, reportQueries(['check']));
}
