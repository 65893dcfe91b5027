import type { Categories } from './categories.js';
import type { Likelihoods } from './session.js';
import { type Shares, weigh } from './weigh.js';

/** Names of the causes, in their order; the one that nothing happened to the whole car is none. */
export const causesOf = ({ corner, car }: Categories): string[] =>
    [...new Set([...corner, ...car.slice(1)].map(({ cause }) => cause))].sort();

/**
 * Probability of each of `causes` on each front: a cause on the car counts where this front held under it; where it slipped besides, the
 * slip counts.
 */
export function posterior(
    { alone, held, slips, ...session }: Likelihoods,
    { corner, car, slips: places }: Categories,
    shares: Shares,
    causes: readonly string[],
): number[][] {
    const weights = weigh({ alone, held, slips, ...session }, shares);
    const [ofCorner, ofCar] = [corner, car].map((own) => own.map(({ cause }) => causes.indexOf(cause)));
    return alone.map((own, front) => {
        const found = causes.map(() => 0);
        for (const [k, value] of own.entries())
            found[ofCorner![k]!]! += value * shares.corner[k]! * weights.alone[front]!;
        for (let c = 1; c < car.length; c++) found[ofCar![c]!]! += held[c]! * shares.car[c]! * weights.held;
        for (const [j, values] of slips.entries()) {
            for (const [i, value] of values.entries()) {
                const place =
                    j === front
                        ? ofCorner![places[i % places.length]!]!
                        : ofCar![Math.floor(i / places.length)]!;
                if (place >= 0) found[place]! += value * shares.slips[i]! * weights.slip;
            }
        }
        return found;
    });
}
