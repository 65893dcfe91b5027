import { normalCdf } from '../normal.js';
import type { Front } from './corner.js';
import type { Sizes } from './gaussian.js';

const half = Math.SQRT1_2;
/** Eight directions of a plane, by their parts. */
const ring = { out: [1, half, 0, -half, -1, -half, 0, half], aft: [0, half, 1, half, 0, -half, -1, -half] };

/** Probability that a slip about `mean` ends within `low` and `high`, with a millimetre for the plate's own play. */
const within = ([low, high]: readonly [number, number], mean: number, sd: number) =>
    Math.max(normalCdf((high + 1 - mean) / sd) - normalCdf((low - 1 - mean) / sd), 1e-6);

/** A normal component of the size of a cause, about plus and minus a mean; mm for moves, degrees for the others. */
export class Component {
    /** Share of the component within its size class, both signs together. */
    readonly share: number;
    /** Sizes where the cause has no free direction, one, or two. */
    readonly sizes: readonly [Sizes, Sizes, Sizes];
    readonly #mean: number;
    readonly #sd: number;
    /** Sizes that were asked along slots, by their upper and their lower end. */
    readonly #along = new Map<number, Map<number, Sizes>>();

    constructor(mean: number, sd: number, share: number) {
        this.share = share;
        this.#mean = mean;
        this.#sd = sd;
        // In a plane wide enough to close the ring.
        const wide = Math.max(sd, 0.38 * mean);
        const square = mean * mean + sd * sd;
        this.sizes = [
            { first: [0], second: [0], weights: [1], variance: 0, square },
            { first: [mean, -mean], second: [0, 0], weights: [0.5, 0.5], variance: sd * sd, square },
            {
                first: ring.out.map((part) => mean * part),
                second: ring.aft.map((part) => mean * part),
                weights: ring.out.map(() => 1 / 8),
                variance: wide * wide,
                square: mean * mean + wide * wide,
            },
        ];
    }

    /** Sizes along a slot, no farther than its `ends`. */
    along(ends: NonNullable<Front['ends']>): Sizes {
        const [low, high] = ends;
        const known = this.#along.get(high) ?? new Map<number, Sizes>();
        this.#along.set(high, known);
        const found = known.get(low);
        if (found !== undefined) return found;
        const [up, down] = [within(ends, this.#mean, this.#sd), within(ends, -this.#mean, this.#sd)];
        const sizes = { ...this.sizes[1], weights: [up / 2, down / 2] };
        known.set(low, sizes);
        return sizes;
    }
}
