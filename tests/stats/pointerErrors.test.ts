import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { type PointerMove, pointerError } from '../../src/stats/slopes/pointerErrors.js';

/** What 1 sd of reading the pointer twice, 0.41 mm, does to camber, caster, toe and SAI at slopes usual for a strut, deg. */
const along = [-0.035, 0.002, 0.03, 0.034];
const noise = [0.057, 0.17, 0.028, 0.17];

/** Moves with pointers `ratio` times the variance of reading off, noise `worse` times what is expected of gauges; a share of them slipped. */
function simulated(
    random: Random,
    count: number,
    { ratio, worse = 1, slipShare = 0 }: { ratio: number; worse?: number; slipShare?: number },
): PointerMove[] {
    return Array.from({ length: count }, () => {
        const slip = random.chance(slipShare) ? 8 : 0;
        const off = random.normal(0, Math.sqrt(ratio)) + slip;
        return {
            slipRatio: 24,
            angles: along.map((loading, angle) => ({
                angle,
                residual: loading * off + random.normal(0, worse * noise[angle]!),
                variance: noise[angle]! * noise[angle]!,
                loadings: [loading, 0] as const,
            })),
        };
    });
}

test('without a move only the prior speaks: a mean of 1', () => {
    const { ratio, low, high } = pointerError([], 4);
    expect(ratio).toBeGreaterThan(0.97);
    expect(ratio).toBeLessThan(1.03);
    // Log-normal with mean 1 and sd 1.2: exp(-0.72 -+ 1.96 * 1.2), cut off at 1/20.
    expect(high).toBeGreaterThan(4.8);
    expect(high).toBeLessThan(5.6);
    expect(low).toBeLessThan(0.08);
});

test('the order of moves changes nothing but the last digits', () => {
    const moves = simulated(new Random(3), 40, { ratio: 4 });
    const [one, other] = [pointerError(moves, 4), pointerError([...moves].reverse(), 4)];
    expect(other.ratio).toBeCloseTo(one.ratio, 8);
});

// 60 kits each; over 150 kits 91 to 95 % held, which shows as 48 of 60 or more in 99.9 of 100 cases.
test.each([
    { ratio: 1, worse: 1 },
    { ratio: 4, worse: 1 },
    { ratio: 12, worse: 1 },
    { ratio: 4, worse: 2 },
])('95 % intervals hold: ratio $ratio, gauges $worse times as noisy as expected', ({ ratio, worse }) => {
    const random = new Random(11);
    const found = Array.from({ length: 60 }, () => pointerError(simulated(random, 100, { ratio, worse }), 4));
    expect(found.filter(({ low, high }) => low <= ratio && ratio <= high).length).toBeGreaterThan(47);
});

test('a slip in one move of fifty does not pass for coarse pointers', () => {
    const random = new Random(12);
    const found = Array.from({ length: 20 }, () =>
        pointerError(simulated(random, 200, { ratio: 1, slipShare: 0.02 }), 4),
    );
    const mean = found.reduce((sum, { ratio }) => sum + ratio, 0) / found.length;
    expect(mean).toBeGreaterThan(0.6);
    expect(mean).toBeLessThan(1.5);
});

test('two scales: both errors are told', () => {
    const random = new Random(13);
    const moves = Array.from({ length: 300 }, (): PointerMove => {
        const [first, second] = [random.normal(0, 2), random.normal(0, 2)];
        const across = [0.002, 0.034, 0.005, 0.002];
        return {
            slipRatio: 24,
            angles: along.map((loading, angle) => ({
                angle,
                residual: loading * first + across[angle]! * second + random.normal(0, noise[angle]! / 4),
                variance: (noise[angle]! * noise[angle]!) / 16,
                loadings: [loading, across[angle]!] as const,
            })),
        };
    });
    const { low, high } = pointerError(moves, 4);
    expect(low).toBeLessThan(4);
    expect(high).toBeGreaterThan(4);
    expect(high / low).toBeLessThan(2);
});
