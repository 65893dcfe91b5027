import { expect, test } from 'vitest';
import { type OwnSlopes, shrunkSlopes } from '../../src/stats/slopes/shrunkSlopes.js';

const populations = {
    mean: { out: 0.087, aft: 0.002 },
    meanVariance: { out: 0, aft: 0 },
    between: { out: [1e-4], aft: [1e-4] },
    dispersion: { out: 1.2, aft: 1 },
    modelDf: { out: 4, aft: 4 },
};

test('one slanting line with unequal dispersions: the line is kept, and no variance exceeds that between chassis', () => {
    // Moves (2, 1), 100 mm2 along out, of 0.09 deg/mm along the line: out alone would be 0.09, aft 0.18.
    const own: OwnSlopes = {
        rank: 'line',
        slope: { out: null, aft: null },
        variance: { oo: null, oa: null, aa: null },
        df: { out: null, aft: null },
        xx: { oo: 100, oa: 50, aa: 25 },
        xy: { out: 9, aft: 4.5 },
        noiseVariance: 1e-6,
    };
    const { slope, variance } = shrunkSlopes(own, populations);
    expect(slope.out + slope.aft / 2).toBeCloseTo(0.09, 4);
    // Nearest to the mean on the line: (0.087, 0.002) + (2, 1) k with 2 k + k / 2 = 0.09 - 0.088.
    expect(slope.out).toBeCloseTo(0.087 + 2 * 0.0008, 4);
    expect(slope.aft).toBeCloseTo(0.002 + 0.0008, 4);
    expect(Math.max(variance.oo, variance.aa)).toBeLessThan(1e-4);
});

test('hardly off one slanting line: what the moves tell along it is kept', () => {
    // 500 mm2 along (2, 1) / sqrt 5 with 0.09 deg/mm, 0.05 mm2 across with 0.5: out = (2 * 0.09 - 0.5) / sqrt 5, aft = (0.09 + 2 * 0.5) / sqrt 5.
    const [along, across] = [500, 0.05];
    const xx = {
        oo: (4 * along + across) / 5,
        oa: (2 * (along - across)) / 5,
        aa: (along + 4 * across) / 5,
    };
    const own = { out: (0.18 - 0.5) / Math.sqrt(5), aft: 1.09 / Math.sqrt(5) };
    const { slope } = shrunkSlopes(
        {
            rank: 'full',
            slope: own,
            variance: { oo: null, oa: null, aa: null },
            df: { out: null, aft: null },
            xx,
            xy: { out: xx.oo * own.out + xx.oa * own.aft, aft: xx.oa * own.out + xx.aa * own.aft },
            noiseVariance: 1e-4,
        },
        populations,
    );
    expect((2 * slope.out + slope.aft) / Math.sqrt(5)).toBeCloseTo(0.09, 3);
});
