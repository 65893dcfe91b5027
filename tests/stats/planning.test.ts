import { expect, test } from 'vitest';
import { carsForMean, carsForShare, wilsonHalfWidth } from '../../src/stats/planning.js';

test('cars for a mean: the least number whose t interval is narrow enough', () => {
    // t(0.975, 4) = 2.776, t(0.975, 5) = 2.571 (NIST/SEMATECH e-Handbook 1.3.6.7.2).
    const within = 2.7765 / Math.sqrt(5);
    expect(carsForMean(1, within)).toBe(5);
    expect(carsForMean(1, within * 0.99)).toBe(6);
    expect(carsForMean(0, 1)).toBe(2);
    expect(carsForMean(1, 1e-9)).toBeNull();
});

test('cars for a share: Wilson, a car worth one corner and a half', () => {
    // Brown, Cai and DasGupta 2001, eq. 4, at p = 0.5 and n = 100: 1.96 sqrt(0.0025 + 0.0000960) / 1.0384 = 0.0962.
    expect(wilsonHalfWidth(0.5, 100)).toBeCloseTo(0.0962, 4);
    const cars = carsForShare(0.5, 1.5, 0.1)!;
    expect(wilsonHalfWidth(0.5, 1.5 * cars)).toBeLessThanOrEqual(0.1);
    expect(wilsonHalfWidth(0.5, 1.5 * (cars - 1))).toBeGreaterThan(0.1);
    expect(carsForShare(1, 1, 0.05)).toBeGreaterThan(10);
});
