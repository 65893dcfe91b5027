import type { CarPattern } from './carPatterns.js';
import type { Corner } from './corner.js';
import { type Evidence, evidence, type Vector } from './gaussian.js';

/** A rear that was changed or misread by itself: 3 in 100 are (common practice, no source), camber with sd 0.5 deg, toe 0.3 deg. */
const CHANGED = 0.03;
const states: readonly { more: Vector; share: number }[] = [
    { more: [0, 0, 0, 0, 0, 0], share: 1 - CHANGED },
    { more: [0.25, 0, 0, 0.09, 0, 0], share: CHANGED },
];

/** What the rears say of a cause on the car when each is as it was, or changed by itself. */
export interface RearWay {
    share: number;
    evidence: readonly Evidence[];
}

const nothing: Vector = [0, 0, 0, 0, 0, 0];

/** The ways of `rears` under a cause on the whole car. A plate cannot move a rear wheel, so they are the control. */
export function rearWays(rears: readonly Corner[], pattern: CarPattern | null): RearWay[] {
    let ways: RearWay[] = [{ share: 1, evidence: [] }];
    for (const rear of rears) {
        const effect = pattern?.rear?.(rear) ?? nothing;
        const own = states.map(({ more, share }) => ({
            share,
            evidence: evidence(rear.changes, more, [effect]),
        }));
        ways = own.flatMap((state) =>
            ways.map((way) => ({
                share: way.share * state.share,
                evidence: [...way.evidence, state.evidence],
            })),
        );
    }
    return ways;
}
