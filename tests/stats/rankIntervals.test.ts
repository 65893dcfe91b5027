import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rankIntervals } from '../../src/stats/rankIntervals.js';

test('none, one, equal ones, and two far apart', () => {
    expect(rankIntervals([], [], 0.05)).toEqual([]);
    expect(rankIntervals([0.9], [0.001], 0.05)).toEqual([{ low: 1, high: 1 }]);
    expect(rankIntervals([0.5, 0.5], [1, 1], 0.05)).toEqual([
        { low: 1, high: 2 },
        { low: 1, high: 2 },
    ]);
    expect(rankIntervals([0.1, 0.9], [1e-4, 1e-4], 0.05)).toEqual([
        { low: 2, high: 2 },
        { low: 1, high: 1 },
    ]);
});

test('Holm: the widest of three pairs is held against alpha / 3, the next against alpha / 2', () => {
    // Deviates of sd 1: 2.40 asks alpha = 3 x 0.0164, 2.30 asks 2 x 0.0214, 0.10 nothing.
    const variances = [0.5, 0.5, 0.5];
    const open = { low: 1, high: 3 };
    const apart = [
        { low: 1, high: 1 },
        { low: 2, high: 3 },
        { low: 2, high: 3 },
    ];
    expect(rankIntervals([2.4, 0.1, 0], variances, 0.05)).toEqual(apart);
    expect(rankIntervals([2.4, 0.1, 0], variances, 0.049)).toEqual([open, open, open]);
});

test('each place lies in its interval, and the order of the groups does not matter', () => {
    const group = fc.record({
        share: fc.double({ min: 0, max: 1, noNaN: true }),
        size: fc.integer({ min: 1, max: 500 }),
    });
    fc.assert(
        fc.property(fc.array(group, { minLength: 1, maxLength: 12 }), (groups) => {
            const of = (some: typeof groups) =>
                rankIntervals(
                    some.map(({ share }) => share),
                    some.map(({ size }) => 0.25 / size),
                    0.05,
                );
            const found = of(groups);
            for (const [i, { low, high }] of found.entries()) {
                const before = groups.filter(({ share }) => share > groups[i]!.share).length;
                const level = groups.filter(({ share }) => share === groups[i]!.share).length;
                expect(low).toBeLessThanOrEqual(before + level);
                expect(high).toBeGreaterThan(before);
            }
            expect(of([...groups].reverse()).reverse()).toEqual(found);
        }),
        { seed: 1, numRuns: 200 },
    );
});
