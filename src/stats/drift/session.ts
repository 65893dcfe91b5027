import type { CarCategory, Categories, CornerCategory } from './categories.js';
import { type Sizes, sizesOf } from './components.js';
import type { Corner, Front } from './corner.js';
import { type Evidence, evidence, logLikelihoods, logSum, together, type Vector } from './gaussian.js';
import type { Pattern } from './patterns.js';
import { type RearWay, rearWays } from './rears.js';

/** Corners of one car over a session, with at least one front. */
export interface Session {
    fronts: readonly Front[];
    rears: readonly Corner[];
}

/**
 * Marginal likelihoods of what may have happened in a session; sizes, the uncertainty of the slopes, ways of the rears and angles not
 * read are integrated out. Without a cause on the car the fronts are independent; with one, fronts and rears are taken together, and at
 * most one front has slipped besides. Relative to the likeliest without a cause on the car, or, where a visit is far from everything, to
 * what it cannot exceed, so that no number overflows.
 */
export interface Likelihoods {
    /** No cause on the car, of the likeliest causes on the fronts. */
    none: number;
    /** Of each front and its categories, relative to the front's likeliest. */
    alone: readonly (readonly number[])[];
    /** Of each category of the car, while the fronts held; the first one, nothing, is `none`. */
    held: readonly number[];
    /** Of each front, category of the car, and slip of that front besides. */
    slips: readonly (readonly (readonly number[])[])[];
}

/** One way in which a category may show on a front. */
interface Term {
    pattern: Pattern;
    sizes: Sizes;
    share: number;
}

function termsOf(front: Front, { components }: CornerCategory): Term[] {
    return components.flatMap((component) => {
        const pattern = component.patternOf(front);
        const probability = pattern?.probability ?? 1;
        if (pattern === null || probability === 0) return [];
        const sizes = sizesOf(component, pattern.effects.length, pattern.ends ?? null);
        return [{ pattern, sizes, share: component.share * probability }];
    });
}

/** The effect of a cause on the car on one front. */
interface CarEffect {
    effect: Vector;
    /** Variances of the changes from what is not known of it. */
    more: Vector;
}

/** Evidence of a front on the sizes of `term`, and on that of a cause on the car as the last one. */
function evidenceOf({ changes }: Front, { pattern, sizes }: Term, car?: CarEffect): Evidence {
    const more = pattern.misread.map(
        (misread, i) => misread + sizes.square * pattern.unknown[i]! + (car?.more[i] ?? 0),
    );
    return evidence(changes, more, car === undefined ? pattern.effects : [...pattern.effects, car.effect]);
}

function logAlone(front: Front, terms: readonly Term[]): number {
    const logs = terms.map(({ sizes, ...term }) =>
        logSum(logLikelihoods(evidenceOf(front, { sizes, ...term }), sizes.sds, sizes.means), sizes.weights),
    );
    return logSum(
        logs,
        terms.map(({ share }) => share),
    );
}

const logDet = ({ changes }: Corner) =>
    changes.read.reduce((sum, place) => sum + Math.log(changes.variances[place]!), 0);

const noEffect: Evidence = { deviance: 0, linear: [0], quadratic: [[0]] };
const atRest = { means: [[]], sds: [], weights: [1] } as const;

/** Likelihood, over exp(`scale`), of a cause on the car of size N(0, sd^2) beside sizes of a front. */
function withCar(
    own: Evidence,
    { means, sds, weights }: Pick<Sizes, 'means' | 'sds' | 'weights'>,
    others: readonly Evidence[],
    ways: readonly RearWay[],
    sd: number,
    scale: number,
): number {
    const allSds = [...sds, sd];
    const allMeans = means.map((mean) => [...mean, 0]);
    let sum = 0;
    for (const way of ways) {
        const logs = logLikelihoods(together(own, [...others, ...way.evidence]), allSds, allMeans);
        for (const [i, log] of logs.entries()) sum += way.share * weights[i]! * Math.exp(log - scale);
    }
    return sum;
}

/** Likelihoods of `session`, see {@link Likelihoods}. */
export function likelihoodsOf({ fronts, rears }: Session, { corner, car, slips }: Categories): Likelihoods {
    const terms = fronts.map((front) => corner.map((category) => termsOf(front, category)));
    const logs = fronts.map((front, j) => terms[j]!.map((own) => logAlone(front, own)));
    const tops = logs.map((own) => Math.max(...own));
    const alone = rearWays(rears, null);
    const rearsLog = logSum(
        alone.map((way) => -way.evidence.reduce((sum, { deviance }) => sum + deviance, 0) / 2),
        alone.map(({ share }) => share),
    );
    const likeliest = tops.reduce((sum, top) => sum + top, rearsLog);
    const highest = [...fronts, ...rears].reduce((sum, one) => sum + logDet(one), 0) / -2;
    const scale = Math.max(likeliest, highest - 600);

    const underCar = ({ components }: CarCategory) => {
        let held = 0;
        const slipped = fronts.map(() => slips.map(() => 0));
        for (const { pattern, sd, share } of components) {
            const ways =
                pattern.rear === null
                    ? [{ share: 1, evidence: [{ ...noEffect, deviance: -2 * rearsLog }] }]
                    : rearWays(rears, pattern);
            const effects = fronts.map((front) => ({
                effect: pattern.front(front),
                more: pattern.unknown(front).map((variance) => sd * sd * variance),
            }));
            const still = fronts.map((front, j) => evidenceOf(front, terms[j]![0]![0]!, effects[j]));
            held += share * withCar(noEffect, atRest, still, ways, sd, scale);
            for (const [j, front] of fronts.entries()) {
                const others = still.filter((_, other) => other !== j);
                for (const [place, category] of slips.entries()) {
                    for (const term of terms[j]![category]!) {
                        const own = evidenceOf(front, term, effects[j]);
                        slipped[j]![place]! +=
                            share * term.share * withCar(own, term.sizes, others, ways, sd, scale);
                    }
                }
            }
        }
        return { held, slipped };
    };
    const cars = car.map(underCar);
    return {
        none: Math.max(Math.exp(likeliest - scale), 1e-300),
        alone: logs.map((own, j) => own.map((log) => Math.exp(log - tops[j]!))),
        held: cars.map(({ held }) => held),
        slips: fronts.map((_, j) => cars.map(({ slipped }) => slipped[j]!)),
    };
}
