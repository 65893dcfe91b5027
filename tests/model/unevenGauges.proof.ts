import { expect, test } from 'vitest';
import { z } from 'zod';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { goodRack } from '../../fixtures/physics/gauge.js';
import { Random } from '../../fixtures/physics/random.js';
import { modelOf, type Rows } from '../support/memory.js';

interface Chassis {
    vehicles: number;
    visits: number;
    /** Noise of its gauge, in that of a good rack. */
    noise: number;
}

/** Shrunken slopes of `count` chassis, each with strut length and gauge of its own, against the corners that they were made from. */
async function field(
    seed: number,
    count: number,
    lengths: [number, number],
    chassisOf: (random: Random) => Chassis,
) {
    const random = new Random(seed);
    const readings: Record<string, string | number | null | undefined>[] = [];
    const truth: Record<string, string | number>[] = [];
    let kits: Rows = [];
    for (let c = 0; c < count; c++) {
        const { vehicles, visits, noise } = chassisOf(random);
        const length = lengths[0] + (lengths[1] - lengths[0]) * random.uniform();
        const fleet = simulateFleet({
            seed: 1000 * seed + c,
            designs: [{ ...designs[c % designs.length]!, pivotDistance_mm: length }],
            vehicles,
            visits,
            noise: {
                camber_deg: goodRack.camber_deg * noise,
                caster_deg: goodRack.caster_deg * noise,
                toe_deg: goodRack.toe_deg * noise,
                sai_deg: goodRack.sai_deg * noise,
            },
            prefix: `${c} `,
        });
        readings.push(...fleet.readings);
        kits = fleet.kits;
        for (const [chassis, slopes] of fleet.truth) {
            truth.push(
                { chassis, response: 'camber_deg', axis: 'out', slope: slopes.out.camber_deg },
                { chassis, response: 'camber_deg', axis: 'aft', slope: slopes.aft.camber_deg },
                { chassis, response: 'caster_deg', axis: 'aft', slope: slopes.aft.caster_deg },
            );
        }
    }
    const db = await modelOf({ readings, kits }, undefined, ['slopes']);
    const rows = await db.rows(
        z.object({ covered: z.number() }),
        `select avg(case when abs(slope - shrunk_deg_per_mm) <= 1.96 * shrunk_std_error_deg_per_mm then 1.0 else 0.0 end)::double as covered
        from (select unnest(from_json($truth::json,
            '[{"chassis":"VARCHAR","response":"VARCHAR","axis":"VARCHAR","slope":"DOUBLE"}]'), max_depth := 2)) as truth
        inner join slopes using (chassis, response, axis)`,
        { truth: JSON.stringify(truth) },
    );
    db.close();
    return rows[0]!.covered;
}

/** Chassis that are nearly alike drown in the noise: a field of them can lie far off, the mean of several not. */
async function mean(fields: readonly (() => Promise<number>)[]) {
    let sum = 0;
    for (const one of fields) sum += await one();
    return sum / fields.length;
}

/** Gauges whose noise differs by a factor of six. */
const uneven = (random: Random): Chassis => ({
    vehicles: random.whole(2, 8),
    visits: 1,
    noise: 0.4 * 6 ** random.uniform(),
});

/** Shops that see few cars have good gauges, those that see many have bad ones. */
const quietWhereFew = (random: Random): Chassis =>
    random.chance(0.6)
        ? { vehicles: random.whole(2, 4), visits: 1, noise: 0.4 }
        : { vehicles: random.whole(5, 8), visits: 1, noise: 2.4 };

/** The other way round. */
const noisyWhereFew = (random: Random): Chassis =>
    random.chance(0.6)
        ? { vehicles: random.whole(2, 4), visits: 1, noise: 2.4 }
        : { vehicles: random.whole(5, 8), visits: 1, noise: 0.4 };

const alike: [number, number] = [590, 650];
const unlike: [number, number] = [500, 760];

test('150 chassis and uneven gauges: 95 % intervals of the shrunken slopes cover 93 to 97 %', async () => {
    const covered = await mean(
        [alike, unlike].flatMap((lengths, i) =>
            [uneven, quietWhereFew, noisyWhereFew].map(
                (kind, k) => () => field(71 + 3 * i + k, 150, lengths, kind),
            ),
        ),
    );
    expect(covered).toBeGreaterThan(0.93);
    expect(covered).toBeLessThan(0.97);
});

// 96 slopes a case, 144 of the last: a coverage of 95 % shows above 90.5 % 97.5 % of the time.
test.each([2, 4, 12])('%i chassis and uneven gauges: they cover at least 90 in 100', async (count) => {
    const fields = Math.max(Math.round(32 / count), 4);
    let sum = 0;
    for (let f = 0; f < fields; f++) sum += await field(1000 * count + f, count, unlike, uneven);
    expect(sum / fields).toBeGreaterThan(0.905);
});
