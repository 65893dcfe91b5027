import type { Corner } from './corner.js';
import { type Cause, evidence, nothing, type Sizes, type Vector } from './gaussian.js';

/** What the rest of a car says of the size of a cause on it, in one way in which that may be; see {@link evidence}. */
export interface Way {
    share: number;
    deviance: number;
    linear: number;
    quadratic: number;
}

/** A rear that was changed or misread by itself: 3 in 100 are (common practice, no source), camber with sd 0.5 deg, toe 0.3 deg. */
const CHANGED = 0.03;
const change: Cause = {
    first: nothing,
    second: nothing,
    unknown: [0.25, 0, 0, 0.09, 0, 0],
    misread: nothing,
};
const sizes = (square: number): Sizes => ({ means: [[0, 0]], weights: [1], variance: 0, square });
const states = [
    { share: 1 - CHANGED, sizes: sizes(0) },
    { share: CHANGED, sizes: sizes(1) },
];

/**
 * Ways of `rears`, each as it was or changed by itself, under a cause on the whole car with that effect. A plate cannot move a rear
 * wheel, so they are the control.
 */
export function rearWays(rears: readonly Corner[], effectOn: (rear: Corner) => Vector): Way[] {
    let ways: Way[] = [{ share: 1, deviance: 0, linear: 0, quadratic: 0 }];
    for (const rear of rears) {
        const shared = { effect: effectOn(rear), more: nothing };
        const own = states.map(({ share, sizes }) => ({
            share,
            evidence: evidence(rear.changes, change, sizes, shared),
        }));
        ways = own.flatMap(({ share, evidence: { deviances, linears, quadratic } }) =>
            ways.map((way) => ({
                share: way.share * share,
                deviance: way.deviance + deviances[0]!,
                linear: way.linear + linears[0]!,
                quadratic: way.quadratic + quadratic,
            })),
        );
    }
    return ways;
}
