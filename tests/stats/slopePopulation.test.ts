import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { likelyVariances } from '../../src/stats/slopes/shrunkSlopes.js';
import { type ChassisSlope, slopePopulation } from '../../src/stats/slopes/slopePopulation.js';
import { modelTrust } from '../../src/stats/slopes/varianceRatio.js';

const prior = { mean: 0.087, sd: 0.01 };

/** A CR2 variance about `variance` with a whole number of degrees of freedom. */
function estimated(variance: number, df: number, random: Random): number {
    let sum = 0;
    for (let i = 0; i < df; i++) sum += random.normal() ** 2;
    return (variance * sum) / df;
}

/** Chassis whose slopes are `sd` apart, read with standard errors of `errorOf`; the model takes all for those of the worst gauge. */
function field(seed: number, count: number, sd: number, errorOf: (random: Random) => number, worst: number) {
    const random = new Random(seed);
    return Array.from({ length: count }, (): ChassisSlope => {
        const error = errorOf(random);
        const df = random.whole(2, 6);
        return {
            estimate: random.normal(0.087, sd) + random.normal(0, error),
            clusterVariance: estimated(error * error, df, random),
            df,
            modelVariance: worst * worst,
        };
    }).sort((a, b) => a.estimate - b.estimate);
}

test.each([0.004, 0.008])('uneven gauges leave a between-sd of %f deg/mm what it is', (sd) => {
    for (let seed = 1; seed <= 10; seed++) {
        const quietAndNoisy = field(seed, 200, sd, (r) => (r.chance(0.7) ? 0.003 : 0.02), 0.02);
        const found = slopePopulation(quietAndNoisy, prior);
        expect(Math.sqrt(found.between) / sd).toBeGreaterThan(0.6);
        expect(Math.sqrt(found.between) / sd).toBeLessThan(1.4);
        expect(found.mean).toBeCloseTo(0.087, 2);
    }
});

test('the variance between chassis is as uncertain as its degrees of freedom say', () => {
    const deviates = Array.from({ length: 40 }, (_, seed) => {
        const { between, betweenDf } = slopePopulation(
            field(seed, 30, 0.008, () => 0.004, 0.004),
            prior,
        );
        return (between / 0.008 ** 2 - 1) / Math.sqrt(2 / betweenDf);
    });
    const square = deviates.reduce((sum, deviate) => sum + deviate ** 2, 0) / deviates.length;
    expect(square).toBeGreaterThan(0.5);
    expect(square).toBeLessThan(2);
});

test('gauges that are alike: the model variance is worth four degrees of freedom, unlike ones fewer', () => {
    const ratios = (errorOf: (random: Random) => number) =>
        field(3, 100, 0.01, errorOf, 1).map(({ clusterVariance, df }) => ({
            ratio: clusterVariance!,
            df: df!,
        }));
    const alike = modelTrust(ratios(() => 1));
    expect(alike.df).toBe(4);
    expect(Math.abs(Math.log(alike.dispersion))).toBeLessThan(0.25);
    const unlike = modelTrust(ratios((random) => (random.chance(0.5) ? 1 : 0.1)));
    expect(unlike.df).toBeLessThan(2);
    expect(unlike.dispersion).toBeLessThan(1);
    expect(modelTrust([])).toEqual({ dispersion: 1, df: 4 });
});

test('no chassis: the two halves of the prior; one far off moves the mean towards it', () => {
    expect(slopePopulation([], prior)).toMatchObject({ mean: 0.087, meanVariance: 5e-5, between: 5e-5 });
    const one = slopePopulation(
        [{ estimate: 0.107, clusterVariance: null, df: null, modelVariance: 1e-8 }],
        prior,
    );
    expect(one.mean).toBeGreaterThan(0.088);
    expect(one.mean).toBeLessThan(0.107);
    expect(one.between).toBeGreaterThan(5e-5);
});

test('likely variances have their mean, and one that is known is one', () => {
    const nodes = likelyVariances(0.04, 5);
    expect(nodes.reduce((sum, node) => sum + node, 0) / nodes.length).toBeCloseTo(0.04, 12);
    expect(nodes).toEqual([...nodes].sort((a, b) => a - b));
    expect(likelyVariances(0.04, null)).toEqual([0.04]);
});
