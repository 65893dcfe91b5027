import { normalCdf } from '../normal.js';
import type { Front } from './corner.js';
import { type Cause, nothing, type Sizes } from './gaussian.js';

/** A normal component of the size of a cause, about plus and minus `mean`; mm for moves, degrees for the others. */
export interface Component {
    mean: number;
    sd: number;
    /** Share of the component within its size class, both signs together. */
    share: number;
}

/** Probability that a slip about `mean` ends within `low` and `high`, with a millimetre for the plate's own play. */
const within = (low: number, high: number, mean: number, sd: number) =>
    Math.max(normalCdf((high + 1 - mean) / sd) - normalCdf((low - 1 - mean) / sd), 1e-6);

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
const evenly = ring.map(() => 1 / ring.length);

/** Sizes of a component where its cause has two free directions, one, or none; in one no farther than `ends`. */
export function sizesOf({ mean, sd }: Component, { first, second }: Cause, ends: Front['ends']): Sizes {
    if (second !== nothing) {
        // Wide enough to close the ring.
        const wide = Math.max(sd, 0.38 * mean);
        return {
            means: ring.map(([out, aft]) => [mean * out, mean * aft]),
            weights: evenly,
            variance: wide * wide,
            square: mean * mean + wide * wide,
        };
    }
    const square = mean * mean + sd * sd;
    if (first === nothing) return { means: [[0, 0]], weights: [1], variance: 0, square };
    const [up, down] = ends === null ? [1, 1] : [within(...ends, mean, sd), within(...ends, -mean, sd)];
    return {
        means: [
            [mean, 0],
            [-mean, 0],
        ],
        weights: [up / 2, down / 2],
        variance: sd * sd,
        square,
    };
}
