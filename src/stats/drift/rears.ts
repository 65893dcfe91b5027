import type { Corner } from './corner.js';
import { Cause, Evidence, nothing, Sizes, type Vector, vector } from './gaussian.js';

/** What the rest of a car says of the size of a cause on it, by the ways in which that may be; see {@link Evidence}. */
export class Ways {
    count = 1;
    readonly shares = new Float64Array(4).fill(1);
    readonly deviances = new Float64Array(4);
    readonly linears = new Float64Array(4);
    readonly quadratics = new Float64Array(4);

    /** Nothing but that its deviance is this one. */
    silent(deviance: number): this {
        this.count = 1;
        this.shares[0] = 1;
        this.deviances[0] = deviance;
        this.linears[0] = 0;
        this.quadratics[0] = 0;
        return this;
    }

    /** Takes what another corner says of effect `e` besides, by the only mean of its sizes. */
    add({ deviances, linears, quadratics }: Evidence, e: number): this {
        for (let way = 0; way < this.count; way++) {
            this.deviances[way]! += deviances[0]!;
            this.linears[way]! += linears[e]![0]!;
            this.quadratics[way]! += quadratics[e]!;
        }
        return this;
    }

    /** Takes one rear more: each way where it is `same` as it was, then where it was `changed`. */
    addRear(same: Evidence, changed: Evidence, e: number): void {
        const half = this.count;
        for (let way = 0; way < half; way++) {
            this.shares[half + way] = this.shares[way]! * CHANGED;
            this.deviances[half + way] = this.deviances[way]! + changed.deviances[0]!;
            this.linears[half + way] = this.linears[way]! + changed.linears[e]![0]!;
            this.quadratics[half + way] = this.quadratics[way]! + changed.quadratics[e]!;
            this.shares[way]! *= 1 - CHANGED;
        }
        this.add(same, e);
        this.count = 2 * half;
    }
}

/** A rear that was changed or misread by itself: 3 in 100 are (common practice, no source), camber with sd 0.5 deg, toe 0.3 deg. */
const CHANGED = 0.03;
const change = new Cause(nothing, nothing, vector(0.25, 0, 0, 0.09), nothing);
const [same, changed] = [new Sizes([[0, 0]], [1], 0, 0), new Sizes([[0, 0]], [1], 0, 1)];
const [asSame, asChanged] = [new Evidence(), new Evidence()];

/**
 * Fills `ways` with those of `rears`, each as it was or changed by itself, under causes on the whole car with these effects, by effect. A
 * plate cannot move a rear wheel, so they are the control.
 */
export function takeRears(
    ways: readonly Ways[],
    rears: readonly Corner[],
    effectsOn: readonly ((rear: Corner) => Vector)[],
): void {
    for (const own of ways) own.silent(0);
    for (const rear of rears) {
        const effects = effectsOn.map((effectOn) => effectOn(rear));
        asSame.take(rear.changes, change, same, effects);
        asChanged.take(rear.changes, change, changed, effects);
        for (let e = 0; e < effects.length; e++) ways[e]!.addRear(asSame, asChanged, e);
    }
}
