import { designs } from '../../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../../fixtures/physics/fleet.js';
import { onePlate, twoScales } from '../../../fixtures/physics/kits.js';
import { simulateSessions } from '../../../fixtures/physics/sessions.js';
import type { Database } from '../../../src/db/database.js';
import { reportQueries } from '../../../src/report/registry.js';
import { modelOf, type Rows } from '../memory.js';
import { markup } from './slopes.js';

/** A database with the model of two simulated chassis over seven sessions; one car's name would be markup. */
export default async function driftDatabase(): Promise<Database> {
    const plates = [onePlate, twoScales];
    const fleet = simulateFleet({ seed: 71, designs: designs.slice(0, 2), vehicles: 3, visits: 2, plates });
    const season = simulateSessions({
        seed: 72,
        designs: designs.slice(0, 2),
        vehicles: 2,
        sessions: 7,
        plates,
        slipShare: 0.2,
        bendShare: 0.08,
        otherShare: 0.05,
    });
    const renamed = (rows: Rows) =>
        rows.map((row) => (row.vehicle === 'OTTER-s1' ? { ...row, vehicle: markup } : row));
    return modelOf(
        {
            kits: season.kits,
            readings: [...fleet.readings, ...renamed(season.readings)],
            sessions: renamed(season.sessions).map((row, index) => ({
                ...row,
                surface: index % 3 === 0 ? 'gravel' : 'track',
            })),
        },
        1,
        reportQueries(['car', 'drift']),
    );
}
