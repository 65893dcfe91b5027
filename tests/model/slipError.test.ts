import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import type { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';
import { buildTable } from '../../src/model/buildTable.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { slipWords } from '../../src/units/driftWords.js';
import { emptyDatabase } from '../support/memory.js';
import { modelTable } from '../support/modelTable.js';

const told = (out: number, aft: number, outError: number, aftError: number, cov: number) =>
    slipWords({
        slip_out_mm: out,
        slip_aft_mm: aft,
        slip_out_std_error_mm: outError,
        slip_aft_std_error_mm: aftError,
        slip_cov_mm2: cov,
    });
const printed = (words: string) => Number(/standard error ([\d.]+)\)$/.exec(words)![1]);

test('by hand: 1 mm along a slot of 45 degrees is sqrt(1/2) mm on either axis, bound together', () => {
    const part = Math.SQRT1_2;
    expect(printed(told(3 * part, 3 * part, part, part, 0.5))).toBe(1);
    expect(printed(told(3 * part, -3 * part, part, part, -0.5))).toBe(1);
    // In a plane, along (3, 4) / 5: (9 * 4 + 16 * 1 - 2 * 12 * 1) / 25 = 28 / 25.
    expect(told(3, 4, 2, 1, -1)).toContain('5 mm');
    expect(printed(told(3, 4, 2, 1, -1))).toBeCloseTo(Math.sqrt(28 / 25), 1);
    expect(printed(told(3, 0, 0.4, 0, 0))).toBe(0.4);
    expect(printed(told(0, 0, 0.4, 0, 0))).toBe(0.4);
});

const cells = z.object({
    direction: z.number(),
    out: z.number(),
    aft: z.number(),
    slip_out_mm: z.number(),
    slip_aft_mm: z.number(),
    slip_out_std_error_mm: z.number(),
    slip_aft_std_error_mm: z.number(),
    slip_cov_mm2: z.number(),
});

const slopes = [
    { response: 'camber_deg', slope_out: 0.09, slope_aft: 0.01 },
    { response: 'caster_deg', slope_out: 0.02, slope_aft: 0.1 },
    { response: 'sai_deg', slope_out: -0.09, slope_aft: 0 },
    { response: 'toe_deg', slope_out: -0.04, slope_aft: 0.005 },
];
const sd = { camber_deg: 0.05, caster_deg: 0.12, sai_deg: 0.12, toe_deg: 0.03 } as Record<string, number>;
const directions = [0, 45, 120, 165];
const count = 1500;

let db: Database;
beforeAll(async () => {
    db = await emptyDatabase();
    await createFunctions(db);
    await modelTable(
        db,
        'sensitivities',
        slopes.map((row) => ({
            chassis: 'X',
            basis: 'own',
            var_out: 0,
            var_aft: 0,
            cov_out_aft: 0,
            spread_var: 0,
            move_count: 9,
            ...row,
        })),
    );
    const change = ({ response, slope_out, slope_aft }: (typeof slopes)[number], place: number) =>
        `${slope_out} * 4 * dx + ${slope_aft} * 4 * dy
            + ${sd[response]} * normal_quantile((hash(n, direction, freedom, ${place}) % 1000003 + 0.5) / 1000003) as ${response}`;
    for (const name of ['session_changes', 'session_likelihoods', 'drift_odds'])
        await modelTable(db, name, []);
    await db.run(`insert into session_changes by name
        with corners as (
            select *, cos(radians(direction)) as dx, sin(radians(direction)) as dy
            from range(${count}) as numbers(n), (select unnest([${directions}]) as direction), (select unnest(['slot', 'plane']) as freedom)
        )
        select
            'X' as chassis, 'car' as vehicle, 'FL' as corner, concat_ws(' ', freedom, direction, n) as visit, freedom, 'left' as plate_hand,
            dx as slot_out, dy as slot_aft, 2.0::double as pitch_mm, cast(null as double) as low_mm, cast(null as double) as high_mm,
            cast(null as double) as pointer_out_mm, cast(null as double) as pointer_aft_mm, cast(null as double) as pointer_var_mm2,
            0::double as tan_caster, false as equal_toe, ${slopes.map(change).join(', ')},
            ${slopes.map(({ response }) => `${sd[response]! ** 2}::double as ${response.replace('deg', 'var_deg2')}`).join(', ')},
            cast(null as varchar) as missing
        from corners`);
    for (const name of ['drift_rules', 'drift'])
        await buildTable(db, modelFiles().find(({ table }) => table === name)!);
});
afterAll(() => db.close());

test.each(['slot', 'plane'])(
    'simulated slips of 4 mm scatter along themselves by the error that is printed: %s',
    async (freedom) => {
        const rows = await db.rows(
            cells,
            `select
            cast(split_part(visit, ' ', 2) as double) as direction, cos(radians(direction)) as out, sin(radians(direction)) as aft,
            slip_out_mm, slip_aft_mm, slip_out_std_error_mm, slip_aft_std_error_mm,
            slip_cov_mm2
        from drift where visit like $like`,
            { like: `${freedom} %` },
        );
        for (const direction of directions) {
            const same = rows.filter((row) => row.direction === direction);
            expect(same).toHaveLength(count);
            const along = same.map((row) => row.slip_out_mm * row.out + row.slip_aft_mm * row.aft);
            const mean = along.reduce((sum, value) => sum + value, 0) / count;
            const scatter = Math.sqrt(
                along.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (count - 1),
            );
            const told = same.reduce((sum, row) => sum + printed(slipWords(row)), 0) / count;
            // Four standard errors of a standard deviation, and half a digit of what is printed.
            expect(Math.abs(scatter - told), `${direction} deg`).toBeLessThan(
                (4 * scatter) / Math.sqrt(2 * count) + 0.05,
            );
            expect(Math.abs(mean - 4), `${direction} deg`).toBeLessThan((4 * scatter) / Math.sqrt(count));
        }
    },
);
