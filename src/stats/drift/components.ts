import { normalCdf } from '../normal.js';
import { Sizes } from './gaussian.js';

/** Farthest slide along a slot to its lower and its upper end, mm. */
export type Ends = readonly [number, number];

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
const within = ([low, high]: Ends, mean: number, sd: number) =>
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
        const around = ring.map(([out, aft]) => [mean * out, mean * aft] as const);
        this.sizes = [
            new Sizes([[0, 0]], [1], 0, this.#square),
            this.#line(1, 1),
            new Sizes(around, Array(8).fill(1 / 8), wide * wide, mean * mean + wide * wide),
        ];
    }

    get #square(): number {
        return this.#mean * this.#mean + this.#sd * this.#sd;
    }

    /** Sizes along a line, of which these shares up and down it are possible. */
    #line(up: number, down: number): Sizes {
        const [mean, variance] = [this.#mean, this.#sd * this.#sd];
        const means = [[mean, 0] as const, [-mean, 0] as const];
        return new Sizes(means, [up / 2, down / 2], variance, this.#square);
    }

    /** Sizes along a slot, no farther than its `ends`. */
    along(ends: Ends): Sizes {
        const [low, high] = ends;
        const known = this.#along.get(high) ?? new Map<number, Sizes>();
        this.#along.set(high, known);
        const found = known.get(low);
        if (found !== undefined) return found;
        const [up, down] = [within(ends, this.#mean, this.#sd), within(ends, -this.#mean, this.#sd)];
        const sizes = this.#line(up, down);
        known.set(low, sizes);
        return sizes;
    }
}
