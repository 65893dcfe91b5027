import { normalCdf } from '../normal.js';
import type { Front } from './corner.js';

/** A normal component of the size of a cause, about plus and minus `mean`; mm for moves, degrees for the others. */
export interface Component {
    mean: number;
    sd: number;
    /** Share of the component within its size class, both signs together. */
    share: number;
}

/** Normal densities of the sizes along the free directions of a pattern: their means, standard deviation and weights. */
export interface Sizes {
    means: readonly (readonly number[])[];
    sds: readonly number[];
    weights: readonly number[];
    /** Mean square of the size. */
    square: number;
}

const half = Math.SQRT1_2;
/** Eight directions of a plane. */
const ring = [
    [1, 0],
    [half, half],
    [0, 1],
    [-half, half],
    [-1, 0],
    [-half, -half],
    [0, -1],
    [half, -half],
] as const;

/** Probability that a slip about `mean` ends within `low` and `high`, with a millimetre for the plate's own play. */
const within = (low: number, high: number, mean: number, sd: number) =>
    Math.max(normalCdf((high + 1 - mean) / sd) - normalCdf((low - 1 - mean) / sd), 1e-6);

/** Sizes of a component along none, one or two free directions; along a slot no farther than its `ends`. */
export function sizesOf({ mean, sd }: Component, directionCount: number, ends: Front['ends']): Sizes {
    if (directionCount === 0) return { means: [[]], sds: [], weights: [1], square: mean * mean + sd * sd };
    if (directionCount === 1) {
        const [up, down] = ends === null ? [1, 1] : [within(...ends, mean, sd), within(...ends, -mean, sd)];
        return {
            means: [[mean], [-mean]],
            sds: [sd],
            weights: [up / 2, down / 2],
            square: mean * mean + sd * sd,
        };
    }
    // Wide enough to close the ring.
    const wide = Math.max(sd, 0.38 * mean);
    return {
        means: ring.map(([out, aft]) => [mean * out, mean * aft]),
        sds: [wide, wide],
        weights: ring.map(() => 1 / 8),
        square: mean * mean + wide * wide,
    };
}
