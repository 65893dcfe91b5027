import type { CarCategory, Categories, CornerCategory } from './categories.js';
import type { Corner, Front } from './corner.js';
import { Evidence, LogSum, nothing, type SharedEffect, type Sizes } from './gaussian.js';
import type { Pattern } from './patterns.js';
import { beside, rearWays, type Way } from './rears.js';

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
    alone: readonly Float64Array[];
    /** Of each category of the car, while the fronts held; the first one, nothing, is `none`. */
    held: Float64Array;
    /** Of each front, by category of the car and slip of that front besides: the slips of the first category, then of the next. */
    slips: readonly Float64Array[];
}

/** One way in which a category may show on a front. */
interface Term {
    pattern: Pattern;
    sizes: Sizes;
    share: number;
}

/** What each category may be on `front`, by its components. */
function termsOf(front: Front, categories: readonly CornerCategory[]): Term[][] {
    const shown = new Map<string, Pattern | null>();
    return categories.map(({ components }) => {
        const terms: Term[] = [];
        for (const { name, patternOf, component } of components) {
            let pattern = shown.get(name);
            if (pattern === undefined) {
                pattern = patternOf(front);
                shown.set(name, pattern);
            }
            if (pattern === null || pattern.probability === 0) continue;
            const freedom = pattern.second !== nothing ? 2 : pattern.first !== nothing ? 1 : 0;
            const sizes = pattern.ends === null ? component.sizes[freedom] : component.along(pattern.ends);
            terms.push({ pattern, sizes, share: component.share * pattern.probability });
        }
        return terms;
    });
}

const own = new Evidence();

/** Logarithm of the likelihood of a category on a front. */
function logAlone({ changes }: Front, terms: readonly Term[]): number {
    const sum = new LogSum();
    for (const { pattern, sizes, share } of terms) {
        own.take(changes, pattern, sizes);
        const { weights } = sizes;
        for (let k = 0; k < weights.length; k++) sum.add(-own.deviances[k]! / 2, share * weights[k]!);
    }
    return sum.log;
}

const logDet = ({ changes }: Corner) =>
    changes.read.reduce((sum, place) => sum + Math.log(changes.variances[place]!), 0);

/** Likelihood, over exp(`scale`), of a cause on the car of size N(0, `variance`), with `evidence` beside that of `ways`. */
function withCar(
    { deviances, linears, quadratic }: Evidence,
    weights: readonly number[],
    ways: readonly Way[],
    variance: number,
    scale: number,
): number {
    let sum = 0;
    for (const way of ways) {
        const gain = 1 / (1 + variance * (quadratic + way.quadratic));
        const factor = way.share * Math.sqrt(gain);
        for (let k = 0; k < weights.length; k++) {
            const linear = linears[k]! + way.linear;
            const twice = variance * gain * linear * linear - deviances[k]! - way.deviance;
            sum += factor * weights[k]! * Math.exp(twice / 2 - scale);
        }
    }
    return sum;
}

const silent = new Evidence();
const [once, still] = [[1], [new Evidence(), new Evidence()]] as const;

/** Likelihoods of `session`, see {@link Likelihoods}. */
export function likelihoodsOf({ fronts, rears }: Session, { corner, car, slips }: Categories): Likelihoods {
    const terms = fronts.map((front) => termsOf(front, corner));
    const logs = fronts.map((front, j) => terms[j]!.map((own) => logAlone(front, own)));
    const tops = logs.map((own) => Math.max(...own));
    const rearsSum = new LogSum();
    for (const { share, deviance } of rearWays(rears, () => nothing)) rearsSum.add(-deviance / 2, share);
    const likeliest = tops.reduce((sum, top) => sum + top, rearsSum.log);
    const highest = [...fronts, ...rears].reduce((sum, one) => sum + logDet(one), 0) / -2;
    const scale = Math.max(likeliest, highest - 600);
    const rearsAlone: Way = { share: 1, deviance: -2 * rearsSum.log, linear: 0, quadratic: 0 };
    const held = new Float64Array(car.length);
    const slipped = fronts.map(() => new Float64Array(car.length * slips.length));

    const add = (c: number, { pattern, sd, share }: CarCategory['components'][number]) => {
        const variance = sd * sd;
        const ways = pattern.rear === null ? [rearsAlone] : rearWays(rears, pattern.rear);
        const effects = fronts.map((front, j): SharedEffect => {
            const more = pattern.unknown(front).map((unknown) => variance * unknown);
            const shared = { effect: pattern.front(front), more };
            const [{ pattern: none, sizes }] = terms[j]![0] as [Term];
            still[j]!.take(front.changes, none, sizes, shared);
            return shared;
        });
        const withFronts = ways.map((way) => fronts.reduce((sum, _, j) => beside(sum, still[j]!), way));
        held[c]! += share * withCar(silent, once, withFronts, variance, scale);
        for (const [j, { changes }] of fronts.entries()) {
            const others = fronts.length === 1 ? ways : ways.map((way) => beside(way, still[1 - j]!));
            for (let place = 0; place < slips.length; place++) {
                for (const { pattern, sizes, share: part } of terms[j]![slips[place]!]!) {
                    own.take(changes, pattern, sizes, effects[j]);
                    slipped[j]![c * slips.length + place]! +=
                        share * part * withCar(own, sizes.weights, others, variance, scale);
                }
            }
        }
    };
    for (const [c, { components }] of car.entries()) for (const component of components) add(c, component);
    return {
        none: Math.max(Math.exp(likeliest - scale), 1e-300),
        alone: logs.map((own, j) => Float64Array.from(own, (log) => Math.exp(log - tops[j]!))),
        held,
        slips: slipped,
    };
}
