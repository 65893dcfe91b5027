import type { Corner } from './corner.js';
import { type Cause, Evidence, nothing, type Sizes, type Vector } from './gaussian.js';

/** What the rest of a car says of the size of a cause on it, by the ways in which that may be; see {@link Evidence}. */
export interface Ways {
    shares: readonly number[];
    deviances: readonly number[];
    linears: readonly number[];
    quadratics: readonly number[];
}

/** `ways` with what another corner says of effect `e`, by the only mean of its sizes. */
export function beside(ways: Ways, { deviances, linears, quadratics }: Evidence, e: number): Ways {
    const [deviance, linear, quadratic] = [deviances[0]!, linears[e]![0]!, quadratics[e]!];
    return {
        shares: ways.shares,
        deviances: ways.deviances.map((value) => value + deviance),
        linears: ways.linears.map((value) => value + linear),
        quadratics: ways.quadratics.map((value) => value + quadratic),
    };
}

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
const [asSame, asChanged] = [new Evidence(), new Evidence()];

/** The ways of one rear more: each of `ways` where it is as it was, then where it was changed. */
function withRear(ways: Ways, e: number): Ways {
    const [kept, other] = [beside(ways, asSame, e), beside(ways, asChanged, e)];
    return {
        shares: [
            ...ways.shares.map((share) => share * (1 - CHANGED)),
            ...ways.shares.map((share) => share * CHANGED),
        ],
        deviances: [...kept.deviances, ...other.deviances],
        linears: [...kept.linears, ...other.linears],
        quadratics: [...kept.quadratics, ...other.quadratics],
    };
}

/**
 * Ways of `rears`, each as it was or changed by itself, under causes on the whole car with these effects, by effect. A plate cannot move
 * a rear wheel, so they are the control.
 */
export function rearWays(rears: readonly Corner[], effectsOn: readonly ((rear: Corner) => Vector)[]): Ways[] {
    let ways: Ways[] = effectsOn.map(() => ({ shares: [1], deviances: [0], linears: [0], quadratics: [0] }));
    for (const rear of rears) {
        const effects = effectsOn.map((effectOn) => effectOn(rear));
        asSame.take(rear.changes, change, same, effects);
        asChanged.take(rear.changes, change, changed, effects);
        ways = ways.map(withRear);
    }
    return ways;
}
