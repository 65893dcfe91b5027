import { expect, test } from 'vitest';
import { Random } from '../../fixtures/physics/random.js';
import { centred, type Gap, setUpOf } from '../../src/stats/measurement/setUps.js';

const readVariance = (2 * 0.04 ** 2) / 3;

/** Gaps of cars with four corners each, the rears undisturbed; a share of the fronts moved by 0.3 deg in between. */
function gapsOf(random: Random, count: number, setUp: number, movedShare = 0): Gap[] {
    return Array.from({ length: count }, (_, i) => {
        const undisturbed = i % 4 > 1;
        const moved = !undisturbed && random.chance(movedShare) ? random.normal(0, 0.3) : 0;
        return {
            gap: random.normal(0, Math.sqrt(readVariance + 2 * setUp * setUp)) + moved,
            variance: readVariance,
            pair: 0,
            cluster: Math.floor(i / 4),
            undisturbed,
            stood: false,
            mountings: 2,
        };
    });
}

test('without a gap the prior stands in', () => {
    expect(setUpOf([], 0.06).variance).toBeCloseTo(0.06 ** 2, 12);
});

// Mean over 40 fields of 200 gaps: a standard deviation scatters by 5 % in one field.
test.each([0.03, 0.06, 0.12])('a set-up of %f deg is found though 30 %% of the fronts moved', (truth) => {
    const random = new Random(11);
    const found = Array.from({ length: 40 }, () => setUpOf(gapsOf(random, 200, truth, 0.3), 0.06));
    const mean = Math.sqrt(found.reduce((sum, { variance }) => sum + variance, 0) / found.length);
    expect(Math.abs(mean / truth - 1)).toBeLessThan(0.05);
    const covered = found.filter(({ low, high }) => low <= truth && truth <= high).length;
    expect(covered).toBeGreaterThanOrEqual(34);
});

test('where readings across visits differ by repeat noise alone, little is left of the prior', () => {
    const random = new Random(12);
    const found = Array.from({ length: 20 }, () => setUpOf(gapsOf(random, 200, 0), 0.06).variance);
    // A tenth of the length of an interval of three repeats is a fifth of its variance, 0.04^2 / 3.
    expect(found.reduce((sum, variance) => sum + variance, 0) / found.length).toBeLessThan(
        0.2 * (0.04 ** 2 / 3),
    );
});

test('two readers are judged about the middle of what both read, however far apart; one setting says nothing', () => {
    const gap = { variance: 0.001, cluster: 1, undisturbed: true, stood: true, mountings: 2 };
    const met = [0.49, 0.5, 0.52].map((value) => ({ ...gap, gap: value, pair: 7 }));
    const left = centred([...met, { ...gap, gap: 0.3, pair: 8 }]);
    expect(left).toHaveLength(3);
    expect(left[0]!.gap).toBeCloseTo(-0.01 * Math.sqrt(1.5), 12);
});
