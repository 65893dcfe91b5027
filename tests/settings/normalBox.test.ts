import { expect, test } from 'vitest';
import { normal } from '../../src/stats/settingFunctions.js';
import { moveNeeded } from '../../src/stats/settings/advisedSettings.js';
import { markGrid, rounded } from '../../src/stats/settings/plateSettings.js';
import { type Band, changeNeeded, normalBox } from '../../src/stats/settings/predicted.js';
import type { Slope } from '../../src/stats/settings/problem.js';
import { toeInMm } from '../../src/stats/settings/toe.js';

function box([meanX, varX, meanY, varY, cov]: number[], x: Band, y: Band): number {
    return normalBox(
        normal,
        { mean: meanX!, variance: varX!, band: x },
        { mean: meanY!, variance: varY!, band: y },
        cov!,
    );
}

// scipy 1.17.1, multivariate_normal.cdf with lower_limit; the same to 14 digits by mpmath's quad over the conditional normal.
test.each<[number[], Band, Band, number]>([
    [[-1, 0.0075, 7, 0.02, 0.001], [-1.2, -0.8], [6.5, 7.5], 0.9786825792101724],
    [[-1.1, 0.0025, 6.6, 0.0144, -0.0008], [-1.2, -0.8], [6.5, 7.5], 0.7777252582291369],
    [[0.3, 1, -0.2, 1, 0.5], [-1, 1], [-2, 0.5], 0.5170781653713001],
    [[0.05, 0.04, 0.1, 0.09, 0.0588], [-0.3, 0.3], [-0.3, 0.3], 0.6561067105556577],
])('probability of a box, %j', (moments, x, y, expected) => {
    expect(box(moments, x, y)).toBeCloseTo(expected, 10);
});

test('a quadrant: 1/4 + asin(r)/(2 pi) (Sheppard 1899), and one angle alone is the normal distribution', () => {
    expect(box([0, 4, 0, 9, 3], [null, 0], [null, 0])).toBeCloseTo(1 / 3, 12);
    // Phi(1.96) = 0.9750021 (printed normal tables).
    expect(box([-1, 0.01, 0, 1, 0], [-1.196, -0.804], [null, null])).toBeCloseTo(2 * 0.9750021 - 1, 6);
    const unread = { mean: null, variance: null, band: [6, 8] as const };
    const camber = { mean: -1, variance: 0.01, band: [-1.196, -0.804] as const };
    expect(normalBox(normal, camber, unread, 0)).toBeCloseTo(2 * 0.9750021 - 1, 6);
});

test('change needed to come inside, and the move that makes it', () => {
    expect(changeNeeded(-0.5, -1, 0.2)).toBeCloseTo(-0.3, 12);
    expect(changeNeeded(-1.5, -1, 0.2)).toBeCloseTo(0.3, 12);
    expect(changeNeeded(-1.1, -1, 0.2)).toBe(0);
    const slope = (slope_out: number, slope_aft: number) => ({ slope_out, slope_aft }) as Slope;
    // Camber 0.08 out; caster 0.01 out + 0.10 aft: -0.16 deg of camber is 2 mm inboard, which costs 0.02 deg of caster: 0.2 mm aft.
    expect(moveNeeded(slope(0.08, 0), slope(0.01, 0.1), -0.16, 0)).toEqual({
        out_mm: expect.closeTo(-2, 10),
        aft_mm: expect.closeTo(0.2, 10),
    });
    expect(moveNeeded(slope(0.03, 0.04), slope(0, 0.1), 0.05, null)).toEqual({
        out_mm: expect.closeTo(0.6, 10),
        aft_mm: expect.closeTo(0.8, 10),
    });
});

test('toe in mm at a diameter is D sin(toe); the marks of a scale are counted from 0 with both ends', () => {
    expect(toeInMm(0.2, 600)).toBeCloseTo(600 * Math.sin((0.2 * Math.PI) / 180), 12);
    expect(markGrid(-1.2, 1, 0.5)).toEqual([-1.2, -1, -0.5, 0, 0.5, 1]);
    expect([rounded(-0.25, 1), rounded(0.25, 1), rounded(2.5, 0)]).toEqual([-0.3, 0.3, 3]);
});
