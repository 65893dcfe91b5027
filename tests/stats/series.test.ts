import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bestStepLast, cusum, ewma, movingRangeSd } from '../../src/stats/series.js';

const series = (minLength: number) =>
    fc.array(
        fc.integer({ min: -300, max: 300 }).map((n) => n / 100),
        { minLength, maxLength: 40 },
    );
const mean = (y: readonly number[]) => y.reduce((sum, value) => sum + value, 0) / y.length;
const square = (y: readonly number[]) => y.reduce((sum, value) => sum + (value - mean(y)) ** 2, 0);

test('nothing, one value, constant', () => {
    expect([ewma([], 0.3, 5), cusum([], 0, 1, 1)]).toEqual([[], []]);
    expect([ewma([3], 0.5, 1), cusum([3], 1, 0.5, 1), cusum([3], 1, 0.5, -1)]).toEqual([[2], [1.5], [0]]);
    expect([movingRangeSd([]), movingRangeSd([3]), movingRangeSd([2, 2, 2])]).toEqual([null, null, 0]);
    expect([bestStepLast([1, 2, 3], 2), bestStepLast([4, 4, 4, 4, 4], 2)]).toEqual([null, 2]);
});

test('the best step leaves the least sum of squares about two means, the first of equals', () => {
    fc.assert(
        fc.property(series(4), (y) => {
            const at = bestStepLast(y, 2)!;
            const left = (k: number) => square(y.slice(0, k)) + square(y.slice(k));
            expect(at).toBeGreaterThanOrEqual(2);
            expect(at).toBeLessThanOrEqual(y.length - 2);
            for (let k = 2; k <= y.length - 2; k++) {
                if (k < at) expect(left(k)).toBeGreaterThan(left(at) - 1e-9);
                else expect(left(k)).toBeGreaterThanOrEqual(left(at) - 1e-9);
            }
        }),
        { seed: 1, numRuns: 200 },
    );
});

test('moved and stretched series: averages go along, sums upward of the negative are sums downward', () => {
    fc.assert(
        fc.property(series(1), (x) => {
            const moved = ewma(
                x.map((value) => 2 * value + 7),
                0.25,
                7,
            );
            for (const [i, average] of ewma(x, 0.25, 0).entries())
                expect(moved[i]).toBeCloseTo(2 * average + 7, 10);
            expect(
                cusum(
                    x.map((value) => -value),
                    0,
                    0.5,
                    1,
                ),
            ).toEqual(cusum(x, 0, 0.5, -1));
        }),
        { seed: 2, numRuns: 100 },
    );
});
