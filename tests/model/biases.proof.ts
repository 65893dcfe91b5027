import { expect, test } from 'vitest';
import { z } from 'zod';
import { Random } from '../../fixtures/physics/random.js';
import { type Field, measuredField } from '../support/measuredFields.js';
import { modelOf } from '../support/memory.js';

const responses = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;
const answer = z.object({
    response: z.enum(responses),
    name: z.string(),
    bias_deg: z.number(),
    bias_var_deg2: z.number(),
});

/** Readings on floors that lean a little, each visit otherwise: both sides of a car roll together, its casters pitch. */
function onFloors({ readings }: Field, seed: number) {
    const random = new Random(seed);
    const floors = new Map<unknown, { roll: number; rake: number }>();
    return readings.map((row) => {
        if (!floors.has(row.visit))
            floors.set(row.visit, { roll: random.normal(0, 0.04), rake: random.normal(0, 0.15) });
        const { roll, rake } = floors.get(row.visit)!;
        const side = String(row.corner).endsWith('L') ? 1 : -1;
        return {
            ...row,
            camber_deg: (row.camber_deg as number) + side * roll,
            ...(typeof row.caster_deg === 'number' ? { caster_deg: row.caster_deg + rake } : {}),
        };
    });
}

// 60 fields of 12 cars, two gauges each, half as far from each other as either is from the middle of both: 240 intervals, one per angle and
// field, scatter by 1.4 %. While readings of a car counted as independent, 85 % of casters held.
test('60 fields: biases of two gauges against each other hold, where readings of a car share its mountings and floors', async () => {
    const fields = Array.from({ length: 60 }, (_, f) =>
        measuredField({ seed: 9100 + f, cars: 12, gauges: 2, slipShare: 0.1, prefix: `field ${f} ` }),
    );
    const held = Object.fromEntries(
        responses.map((response) => [response, { asked: 0, held: 0, length: 0 }]),
    );
    for (let from = 0; from < fields.length; from += 20) {
        const some = fields.slice(from, from + 20);
        const readings = some.flatMap((field, f) => onFloors(field, 9500 + from + f));
        const db = await modelOf({ readings, kits: some[0]!.kits, targets: some[0]!.targets }, 1, [
            'gauge_effects',
        ]);
        const rows = await db.rows(
            answer,
            "select response, name, bias_deg, bias_var_deg2 from gauge_effects where name like '% rack 1'",
        );
        for (const { response, name, bias_deg, bias_var_deg2 } of rows) {
            const { biases } = some.find((field) => field.biases.has(name))!;
            const [one, other] = [...biases.values()].map((bias) => bias[response]);
            const all = held[response]!;
            all.asked++;
            all.held += Number(Math.abs(bias_deg - (one! - other!) / 2) <= 1.96 * Math.sqrt(bias_var_deg2));
            all.length += 3.92 * Math.sqrt(bias_var_deg2);
        }
        db.close();
    }
    console.log(held);
    const share = responses.reduce((sum, response) => sum + held[response]!.held, 0) / 240;
    expect(share).toBeGreaterThan(0.92);
    for (const response of responses) {
        expect(held[response]!.asked).toBe(60);
        expect(held[response]!.held).toBeGreaterThan(0.87 * 60);
    }
});
