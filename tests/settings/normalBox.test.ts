import { afterAll, beforeAll, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';

let db: Database;
beforeAll(async () => {
    db = await Database.open({ file: ':memory:', mode: 'create' });
    await createFunctions(db);
});
afterAll(() => db.close());

async function value(expression: string): Promise<unknown> {
    return (await db.cells(`select ${expression} as value`))[0]!.value;
}

// scipy 1.17.1, multivariate_normal.cdf with lower_limit; the same to 14 digits by mpmath's quad over the conditional normal.
test.each([
    ['-1.0, 0.0075, 7.0, 0.02, 0.001, -1.2, -0.8, 6.5, 7.5', 0.9786825792101724],
    ['-1.1, 0.0025, 6.6, 0.0144, -0.0008, -1.2, -0.8, 6.5, 7.5', 0.7777252582291369],
    ['0.3, 1.0, -0.2, 1.0, 0.5, -1.0, 1.0, -2.0, 0.5', 0.5170781653713001],
    ['0.05, 0.04, 0.1, 0.09, 0.0588, -0.3, 0.3, -0.3, 0.3', 0.6561067105556577],
])('probability of a box, normal_box(%s)', async (words, expected) => {
    expect(await value(`normal_box(${words})`)).toBeCloseTo(expected, 10);
});

test('a quadrant: 1/4 + asin(r)/(2 pi) (Sheppard 1899), and one angle alone is the normal distribution', async () => {
    expect(await value('normal_box(0.0, 4.0, 0.0, 9.0, 3.0, null, 0.0, null, 0.0)')).toBeCloseTo(1 / 3, 12);
    // Phi(1.96) = 0.9750021 (printed normal tables).
    expect(
        await value('normal_box(-1.0, 0.01, 0.0, 1.0, 0.0, -1.0 - 0.196, -1.0 + 0.196, null, null)'),
    ).toBeCloseTo(2 * 0.9750021 - 1, 6);
});

test('change needed to come inside, and the move that makes it', async () => {
    expect(await value('change_needed(-0.5, -1.0, 0.2)')).toBeCloseTo(-0.3, 12);
    expect(await value('change_needed(-1.5, -1.0, 0.2)')).toBeCloseTo(0.3, 12);
    expect(await value('change_needed(-1.1, -1.0, 0.2)')).toBe(0);
    const slope = (out: number, aft: number) => `{'slope_out': ${out}, 'slope_aft': ${aft}}`;
    // Camber 0.08 out; caster 0.01 out + 0.10 aft: -0.16 deg of camber is 2 mm inboard, which costs 0.02 deg of caster: 0.2 mm aft.
    expect(
        await value(`move_needed(${slope(0.08, 0)}, ${slope(0.01, 0.1)}, -0.16::double, 0.0::double)`),
    ).toEqual({ out_mm: expect.closeTo(-2, 10), aft_mm: expect.closeTo(0.2, 10) });
    expect(await value(`move_needed(${slope(0.03, 0.04)}, ${slope(0, 0.1)}, 0.05::double, null)`)).toEqual({
        out_mm: expect.closeTo(0.6, 10),
        aft_mm: expect.closeTo(0.8, 10),
    });
});

test('toe in mm at a diameter is D sin(toe); the marks of a scale are counted from 0 with both ends', async () => {
    expect(await value('toe_in_mm(0.2::double, 600::double)')).toBeCloseTo(
        600 * Math.sin((0.2 * Math.PI) / 180),
        12,
    );
    expect(await value('mark_grid(-1.2::double, 1.0::double, 0.5::double)')).toEqual([
        -1.2, -1, -0.5, 0, 0.5, 1,
    ]);
});
