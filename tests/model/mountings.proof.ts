import { expect, test } from 'vitest';
import { z } from 'zod';
import { sides } from '../../fixtures/physics/car.js';
import { anglesAt } from '../../fixtures/physics/corner.js';
import { type FieldOptions, measuredField, referencesOf } from '../support/measuredFields.js';
import { modelOf } from '../support/memory.js';

const angles = ['camber', 'caster'] as const;
const row = z.object({
    vehicle: z.string(),
    corner: z.enum(sides),
    response: z.enum(angles),
    deg: z.number(),
    low_deg: z.number(),
    high_deg: z.number(),
    /** Standard uncertainty from repeating alone, and with the set-up. */
    plain_u_deg: z.number(),
    apart_u_deg: z.number(),
});

/** Where each front corner of several fields stands, as `advise` reads it, with intervals of the true angles. */
async function standing(all: readonly FieldOptions[]) {
    const fields = all.map(measuredField);
    const { kits, targets } = fields[0]!;
    const readings = fields.flatMap((field) => field.readings);
    const references = fields.flatMap((field, f) => referencesOf(field, all[f]!));
    const db = await modelOf({ readings, kits, targets, references }, 1, [
        'asked_corners',
        'present_corners',
    ]);
    const rows = await db.rows(
        row,
        angles
            .map(
                (
                    angle,
                ) => `select vehicle, corner, '${angle}' as response, ${angle}_deg - ${angle}_bias_deg as deg,
                    deg - 1.96 * sqrt(${angle}_var_deg2) as low_deg, deg + 1.96 * sqrt(${angle}_var_deg2) as high_deg,
                    sqrt(${angle}_mean_var_deg2) as plain_u_deg,
                    sqrt(${angle}_mean_var_deg2 + ${angle}_set_up_var_deg2) as apart_u_deg
                from asked_corners((select list(distinct vehicle) from present_corners), null, null)`,
            )
            .join(' union all '),
    );
    db.close();
    return { cars: fields.flatMap(({ cars }) => cars), rows };
}

async function counted(fields: readonly FieldOptions[]) {
    const all = { count: 0, covered: 0, plain: 0, apart: 0 };
    const { cars, rows } = await standing(fields);
    for (const { vehicle, corner, response, low_deg, high_deg, plain_u_deg, apart_u_deg } of rows) {
        const { corner: built, state } = cars.find((car) => car.vehicle === vehicle)!.fronts[corner];
        const truth = anglesAt(built, state)[`${response}_deg`];
        all.count++;
        all.covered += Number(low_deg <= truth && truth <= high_deg);
        all.plain += plain_u_deg;
        all.apart += apart_u_deg;
    }
    return {
        share: all.covered / all.count,
        plain: all.plain / all.count,
        apart: all.apart / all.count,
    };
}

const fieldsOf = (more: Partial<FieldOptions>) =>
    Array.from({ length: 4 }, (_, f) => ({
        seed: 9000 + f,
        prefix: `field ${f} `,
        cars: 8,
        gauges: 1,
        step: 0.01,
        ...more,
    }));

// Corners of four fields: coverage scatters by about 2 %.
test('repeats over mountings shrink what clamps and rims add, not floor and rake, and intervals hold', async () => {
    const once = await counted(fieldsOf({}));
    const clamps = await counted(fieldsOf({ floorShare: 0 }));
    const half = await counted(fieldsOf({ floorShare: 0.5 }));
    for (const { share } of [clamps, half]) expect(share).toBeGreaterThan(0.93);
    expect(clamps.apart).toBeLessThan(half.apart);
    expect(half.apart).toBeLessThan(once.apart);
});

// Sharp as before there were set-ups in the account: within a tenth of the uncertainty of repeats alone.
test('where mountings and visits agree to repeat noise, hardly anything is left of set-ups', async () => {
    for (const floorShare of [undefined, 0.5]) {
        const { share, apart, plain } = await counted(
            fieldsOf({ setUp: 0, cars: 16, ...(floorShare === undefined ? {} : { floorShare }) }).slice(0, 2),
        );
        expect(apart / plain).toBeLessThan(1.1);
        expect(share).toBeGreaterThan(0.9);
    }
});
