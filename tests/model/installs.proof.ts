import { expect, test } from 'vitest';
import { installField, seeded } from '../support/kitInstalls.js';
import { modelOf, type Rows } from '../support/memory.js';

/** Four slopes each: 96 in all, of which 95 % show above 90.5 % 97.5 % of the time. */
const FIELDS = 24;

/** Chassis slopes from the prior of sql/gauges/angle_priors, so that shrunken intervals can be judged too. */
const drawn = ({ normal }: ReturnType<typeof seeded>) => ({
    camber_out: 0.087 + 0.01 * normal(),
    camber_aft: 0.01 * normal(),
    caster_out: 0.01 * normal(),
    caster_aft: 0.0905 + 0.012 * normal(),
});

interface Shop {
    chassis: string;
    slopes: ReturnType<typeof drawn>;
    readings: Rows;
}

function shopsOf(cars: number, seed: number, noise: { camber: number; caster: number }): Shop[] {
    const random = seeded(seed);
    return Array.from({ length: FIELDS }, (_, field) => {
        const chassis = `C${field} `;
        const slopes = drawn(random);
        const constants = { camber: 0.3 * random.normal(), caster: 0.5 * random.normal() };
        const readings = installField(
            { chassis, kit: `K${field}`, cars, slopes, constants, noise, carSpread: 0.03 },
            random,
        );
        return { chassis, slopes, readings };
    });
}

/** `databases` of shops: those of one learn from each other. */
async function judged(databases: readonly (readonly Shop[])[]) {
    let [count, own, shrunken] = [0, 0, 0];
    const ratios = { camber: 0, caster: 0 };
    for (const shops of databases) {
        const readings = shops.flatMap((shop) => shop.readings);
        const db = await modelOf({ readings }, undefined, ['slopes']);
        const rows = await db.cells(
            `select chassis, response, axis, estimate_deg_per_mm as estimate, conf_low_deg_per_mm as low, conf_high_deg_per_mm as high,
                shrunk_deg_per_mm as shrunk, shrunk_std_error_deg_per_mm as shrunk_error
            from slopes where response in ('camber_deg', 'caster_deg')`,
        );
        db.close();
        for (const row of rows) {
            const angle = row.response === 'camber_deg' ? 'camber' : 'caster';
            const { slopes } = shops.find(({ chassis }) => chassis === row.chassis)!;
            const truth = slopes[`${angle}_${row.axis as 'out' | 'aft'}`];
            count++;
            if ((row.low as number) <= truth && truth <= (row.high as number)) own++;
            if (Math.abs(truth - (row.shrunk as number)) <= 1.96 * (row.shrunk_error as number)) shrunken++;
            const main = angle === 'camber' ? 'out' : 'aft';
            if (row.axis === main) ratios[angle] += (row.estimate as number) / truth / FIELDS;
        }
    }
    expect(count).toBe(4 * FIELDS);
    return { own: own / count, shrunken: shrunken / count, ...ratios };
}

test(`${FIELDS} shops that only fit kits, 24 cars each: intervals hold the slopes, which are not biased`, async () => {
    const found = await judged([shopsOf(24, 7, { camber: 0.03, caster: 0.05 })]);
    console.info(JSON.stringify(found));
    expect(found.own).toBeGreaterThanOrEqual(0.905);
    expect(found.own).toBeLessThanOrEqual(0.99);
    expect(found.shrunken).toBeGreaterThanOrEqual(0.905);
    // The mean over the fields has a standard error of 0.5 and 0.65 %.
    expect(Math.abs(found.camber - 1)).toBeLessThan(0.0125);
    expect(Math.abs(found.caster - 1)).toBeLessThan(0.0125);
});

test(`${FIELDS} shops with 6 cars each, alone: nothing but the prior of geometry helps`, async () => {
    const found = await judged(shopsOf(6, 8, { camber: 0.04, caster: 0.1 }).map((shop) => [shop]));
    console.info(JSON.stringify(found));
    expect(found.own).toBeGreaterThanOrEqual(0.905);
    expect(found.shrunken).toBeGreaterThanOrEqual(0.905);
});
