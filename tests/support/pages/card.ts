import { designs } from '../../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../../fixtures/physics/fleet.js';
import { onePlate, twoScales } from '../../../fixtures/physics/kits.js';
import type { Database } from '../../../src/db/database.js';
import { adviseNeeds } from '../../../src/model/advise.js';
import { clockingNeeds } from '../../../src/model/clocking.js';
import { reportQueries } from '../../../src/report/registry.js';
import { modelOf } from '../memory.js';
import { markup } from './slopes.js';

/** 40 characters. */
export const longName = 'the grey estate of the northern workshop';

/** An in-memory database of two invented chassis on two kits, with a car and a target whose names look like markup, and a car with a long name of which only the left front was read. */
export default async function database(): Promise<Database> {
    const fleet = simulateFleet({
        seed: 77,
        designs: designs.slice(0, 2),
        vehicles: 3,
        visits: 2,
        plates: [onePlate, twoScales],
    });
    const [named, half] = fleet.cars;
    const renamed = new Map([
        [named!.vehicle, markup],
        [half!.vehicle, longName],
    ]);
    const readings = fleet.readings
        .filter((row) => row.vehicle !== half!.vehicle || row.corner === 'FL')
        .map((row) => ({ ...row, vehicle: renamed.get(String(row.vehicle)) ?? row.vehicle }));
    return modelOf(
        {
            readings,
            kits: fleet.kits,
            targets: [
                {
                    target: 'street',
                    camber_deg: -0.9,
                    camber_tol_deg: 0.3,
                    caster_deg: 6.5,
                    caster_tol_deg: 1,
                    toe_deg: 0.05,
                    toe_tol_deg: 0.05,
                    cross_camber_max_deg: 0.3,
                },
                { target: markup, camber_deg: -1.8, camber_tol_deg: 0.2 },
            ],
        },
        1,
        [...adviseNeeds, ...clockingNeeds, ...reportQueries(['card', 'clocking'])],
    );
}
