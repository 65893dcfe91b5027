import type { Categories } from './categories.js';
import type { Likelihoods } from './session.js';

/** Shares of the categories of a corner, and of the whole car. */
export interface Shares {
    corner: readonly number[];
    car: readonly number[];
    /** Of each category of the car with each slip, in the order of {@link Likelihoods}. */
    slips: readonly number[];
}

export function sharesOf(
    corner: readonly number[],
    car: readonly number[],
    { slips }: Pick<Categories, 'slips'>,
): Shares {
    return { corner, car, slips: car.flatMap((share) => slips.map((place) => share * corner[place]!)) };
}

/** What likelihood times share is to be multiplied by to be a posterior probability. */
export interface Weights {
    /** Without a cause on the car, by front. */
    alone: readonly number[];
    /** Of a cause on the car while the fronts held. */
    held: number;
    /** Of a cause on the car and a slip of one front. */
    slip: number;
    /** Posterior probability that nothing happened to the whole car. */
    none: number;
}

function product(a: Float64Array, b: readonly number[]): number {
    let sum = 0;
    for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
    return sum;
}

/** Weights of a session at the odds `shares`. */
export function weigh({ none, alone, held, slips }: Likelihoods, shares: Shares): Weights {
    const sums = alone.map((own) => product(own, shares.corner));
    const noneWeight = sums.reduce((weight, sum) => weight * sum, shares.car[0]! * none);
    const still = shares.corner[0]!;
    // Of the front that held beside one that slipped.
    const beside = alone.length === 2 ? still : 1;
    let total = noneWeight + still * beside * product(held, shares.car);
    for (const own of slips) total += beside * product(own, shares.slips);
    return {
        alone: sums.map((sum) => noneWeight / sum / total),
        held: (still * beside) / total,
        slip: beside / total,
        none: noneWeight / total,
    };
}
