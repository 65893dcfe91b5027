import type { CarCategory, Categories, CornerCategory } from './categories.js';
import { sizesOf } from './components.js';
import type { Corner, Front } from './corner.js';
import { type Evidence, evidence, logSum, nothing, type SharedEffect, type Sizes } from './gaussian.js';
import type { Pattern } from './patterns.js';
import { rearWays, type Way } from './rears.js';

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
    /** Of each front, by category of the car and slip of that front besides: the slips of the first category, then of the next. */
    slips: readonly (readonly number[])[];
}

/** One way in which a category may show on a front. */
interface Term {
    pattern: Pattern;
    sizes: Sizes;
    share: number;
}

function termsOf(front: Front, { components }: CornerCategory): Term[] {
    const terms: Term[] = [];
    for (const component of components) {
        const pattern = component.patternOf(front);
        if (pattern === null || pattern.probability === 0) continue;
        const sizes = sizesOf(component, pattern, pattern.ends ?? null);
        terms.push({ pattern, sizes, share: component.share * (pattern.probability ?? 1) });
    }
    return terms;
}

/** Logarithm of the likelihood of a category on a front. */
function logAlone({ changes }: Front, terms: readonly Term[]): number {
    const logs: number[] = [];
    const weights: number[] = [];
    for (const { pattern, sizes, share } of terms) {
        for (const [i, deviance] of evidence(changes, pattern, sizes).deviances.entries()) {
            logs.push(-deviance / 2);
            weights.push(share * sizes.weights[i]!);
        }
    }
    return logSum(logs, weights);
}

const logDet = ({ changes }: Corner) =>
    changes.read.reduce((sum, place) => sum + Math.log(changes.variances[place]!), 0);

/** Likelihood, over exp(`scale`), of a cause on the car of size N(0, `variance`) with `own` evidence beside that of `ways`. */
function withCar(
    own: Evidence,
    weights: readonly number[],
    ways: readonly Way[],
    variance: number,
    scale: number,
): number {
    let sum = 0;
    for (const { share, deviance, linear, quadratic } of ways) {
        const gain = 1 / (1 + variance * (own.quadratic + quadratic));
        const factor = share * Math.sqrt(gain);
        for (let i = 0; i < weights.length; i++) {
            const z = own.linears[i]! + linear;
            const twice = variance * gain * z * z - deviance - own.deviances[i]!;
            sum += factor * weights[i]! * Math.exp(twice / 2 - scale);
        }
    }
    return sum;
}

/** `ways` with what a front says besides, by the only mean of its sizes. */
const besides = (ways: readonly Way[], { deviances, linears, quadratic }: Evidence): Way[] =>
    ways.map((way) => ({
        share: way.share,
        deviance: way.deviance + deviances[0]!,
        linear: way.linear + linears[0]!,
        quadratic: way.quadratic + quadratic,
    }));

const silent: Evidence = { deviances: [0], linears: [0], quadratic: 0 };

/** Likelihoods of `session`, see {@link Likelihoods}. */
export function likelihoodsOf({ fronts, rears }: Session, { corner, car, slips }: Categories): Likelihoods {
    const terms = fronts.map((front) => corner.map((category) => termsOf(front, category)));
    const logs = fronts.map((front, j) => terms[j]!.map((own) => logAlone(front, own)));
    const tops = logs.map((own) => Math.max(...own));
    const alone = rearWays(rears, () => nothing);
    const rearsLog = logSum(
        alone.map(({ deviance }) => -deviance / 2),
        alone.map(({ share }) => share),
    );
    const likeliest = tops.reduce((sum, top) => sum + top, rearsLog);
    const highest = [...fronts, ...rears].reduce((sum, one) => sum + logDet(one), 0) / -2;
    const scale = Math.max(likeliest, highest - 600);
    const held = car.map(() => 0);
    const slipped = fronts.map(() => car.flatMap(() => slips.map(() => 0)));

    const add = (c: number, { pattern, sd, share }: CarCategory['components'][number]) => {
        const variance = sd * sd;
        const ways =
            pattern.rear === null
                ? [{ share: 1, deviance: -2 * rearsLog, linear: 0, quadratic: 0 }]
                : rearWays(rears, pattern.rear);
        const effects = fronts.map((front): SharedEffect => {
            const unknown = pattern.unknown(front);
            return { effect: pattern.front(front), more: unknown.map((one) => variance * one) };
        });
        const still = fronts.map(({ changes }, j) => {
            const [{ pattern, sizes }] = terms[j]![0] as [Term];
            return evidence(changes, pattern, sizes, effects[j]);
        });
        held[c]! += share * withCar(silent, [1], still.reduce(besides, ways), variance, scale);
        for (const [j, { changes }] of fronts.entries()) {
            const others = still.filter((_, other) => other !== j).reduce(besides, ways);
            for (const [place, category] of slips.entries()) {
                for (const { pattern, sizes, share: part } of terms[j]![category]!) {
                    const own = evidence(changes, pattern, sizes, effects[j]);
                    slipped[j]![c * slips.length + place]! +=
                        share * part * withCar(own, sizes.weights, others, variance, scale);
                }
            }
        }
    };
    for (const [c, { components }] of car.entries()) for (const component of components) add(c, component);
    return {
        none: Math.max(Math.exp(likeliest - scale), 1e-300),
        alone: logs.map((own, j) => own.map((log) => Math.exp(log - tops[j]!))),
        held,
        slips: slipped,
    };
}
