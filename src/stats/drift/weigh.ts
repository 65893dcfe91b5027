import type { Categories } from './categories.js';
import type { Likelihoods } from './session.js';

/** Shares of the categories of a corner, and of the whole car. */
export interface Shares {
    corner: readonly number[];
    car: readonly number[];
}

/** What a session may have been, in parts of one; see {@link Likelihoods}. */
export interface Parts {
    /** By front and category, without a cause on the car. */
    alone: readonly (readonly number[])[];
    none: number;
    /** By category of the car, while the fronts held. */
    held: readonly number[];
    /** By front, category of the car, and slip besides. */
    slips: readonly (readonly (readonly number[])[])[];
}

const product = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, value, i) => sum + value * b[i]!, 0);

/** Posterior probabilities of all that may have happened in a session, at the odds `shares`. */
export function weigh(likelihoods: Likelihoods, { slips }: Categories, shares: Shares): Parts {
    const sums = likelihoods.alone.map((own) => product(own, shares.corner));
    const none = sums.reduce((weight, sum) => weight * sum, shares.car[0]! * likelihoods.none);
    const stillShare = shares.corner[0]!;
    // Of the fronts that held beside one that slipped.
    const beside = likelihoods.alone.length === 2 ? stillShare : 1;
    const held = likelihoods.held.map((value, c) => stillShare * beside * value * shares.car[c]!);
    const slipped = likelihoods.slips.map((own) =>
        own.map((row, c) =>
            row.map((value, s) => beside * value * shares.car[c]! * shares.corner[slips[s]!]!),
        ),
    );
    let total = none;
    for (const value of held) total += value;
    for (const own of slipped) for (const row of own) for (const value of row) total += value;
    return {
        alone: likelihoods.alone.map((own, j) =>
            own.map((value, k) => ((none / sums[j]!) * value * shares.corner[k]!) / total),
        ),
        none: none / total,
        held: held.map((value) => value / total),
        slips: slipped.map((own) => own.map((row) => row.map((value) => value / total))),
    };
}
