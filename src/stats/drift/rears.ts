import type { Corner } from './corner.js';
import { type Cause, Evidence, nothing, type Sizes, type Vector } from './gaussian.js';

/** What the rest of a car says of the size of a cause on it, in one way in which that may be; see {@link Evidence}. */
export interface Way {
    share: number;
    deviance: number;
    linear: number;
    quadratic: number;
}

/** `way` with what another corner says, by the only mean of its sizes. */
export const beside = (way: Way, { deviances, linears, quadratic }: Evidence, share = 1): Way => ({
    share: way.share * share,
    deviance: way.deviance + deviances[0]!,
    linear: way.linear + linears[0]!,
    quadratic: way.quadratic + quadratic,
});

/** A rear that was changed or misread by itself: 3 in 100 are (common practice, no source), camber with sd 0.5 deg, toe 0.3 deg. */
const CHANGED = 0.03;
const change: Cause = {
    first: nothing,
    second: nothing,
    unknown: [0.25, 0, 0, 0.09, 0, 0],
    misread: nothing,
};
const same: Sizes = { first: [0], second: [0], weights: [1], variance: 0, square: 0 };
const changed: Sizes = { ...same, square: 1 };
const scratch = new Evidence();

/**
 * Ways of `rears`, each as it was or changed by itself, under a cause on the whole car with that effect. A plate cannot move a rear
 * wheel, so they are the control.
 */
export function rearWays(rears: readonly Corner[], effectOn: (rear: Corner) => Vector): Way[] {
    let ways: Way[] = [{ share: 1, deviance: 0, linear: 0, quadratic: 0 }];
    for (const rear of rears) {
        const shared = { effect: effectOn(rear), more: nothing };
        const found: Way[] = [];
        for (const sizes of [same, changed]) {
            scratch.take(rear.changes, change, sizes, shared);
            for (const way of ways) found.push(beside(way, scratch, sizes === same ? 1 - CHANGED : CHANGED));
        }
        ways = found;
    }
    return ways;
}
