import { type CarComponent, type Categories, type CornerCategory, categories } from './categories.js';
import type { Corner, Front, JudgedFront } from './corner.js';
import { ANGLES, type Changes, Evidence, LogSum, nothing, type Sizes, type Vector } from './gaussian.js';
import type { Pattern } from './patterns.js';
import { takeRears, Ways } from './rears.js';

/** Corners of one car over a session, with at least one front. */
export interface Session {
    fronts: readonly JudgedFront[];
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
    /** Of each cause on the car, while the fronts held. */
    held: readonly number[];
    /** Of each front, by cause on the car and slip of that front besides: the slips of the first cause, then of the next. */
    slips: readonly (readonly number[])[];
}

/** One way in which a category may show on a front. */
interface Term {
    pattern: Pattern;
    sizes: Sizes;
    share: number;
}

/** What each category may be on `front`, by its components. */
function termsOf(front: Front, corner: readonly CornerCategory[]): Term[][] {
    const shown = new Map<unknown, Pattern | null>();
    return corner.map(({ components }) => {
        const terms: Term[] = [];
        for (const { patternOf, component } of components) {
            let pattern = shown.get(patternOf);
            if (pattern === undefined) {
                pattern = patternOf(front);
                shown.set(patternOf, pattern);
            }
            if (pattern === null || pattern.probability === 0) continue;
            const { first, second } = pattern.cause;
            const freedom = second !== nothing ? 2 : first !== nothing ? 1 : 0;
            const sizes = pattern.ends === null ? component.sizes[freedom] : component.along(pattern.ends);
            terms.push({ pattern, sizes, share: component.share * pattern.probability });
        }
        return terms;
    });
}

const own = new Evidence();

/** Logarithm of the likelihood of a category that shows in `terms`, of these changes. */
function logAlone(changes: Changes, terms: readonly Term[]): number {
    const sum = new LogSum();
    for (const { pattern, sizes, share } of terms) {
        own.take(changes, pattern.cause, sizes);
        const { weights } = sizes;
        for (let k = 0; k < weights.length; k++) sum.add(-own.deviances[k]! / 2, share * weights[k]!);
    }
    return sum.log;
}

/** Only what was read besides the angles: pointer and ride height. */
const withoutAngles = (changes: Changes): Changes => ({
    ...changes,
    read: changes.read.filter((place) => place >= ANGLES),
});

const logDet = ({ changes }: Corner) =>
    changes.read.reduce((sum, place) => sum + Math.log(changes.variances[place]!), 0);

/** Likelihood, over exp(`scale`), of a cause on the car of size N(0, `variance`) and effect `e` of `evidence`, beside `ways`. */
function withCar(
    { deviances, linears, quadratics }: Evidence,
    e: number,
    weights: Float64Array,
    ways: Ways,
    variance: number,
    scale: number,
): number {
    let sum = 0;
    const own = linears[e]!;
    for (let way = 0; way < ways.count; way++) {
        const gain = 1 / (1 + variance * (quadratics[e]! + ways.quadratics[way]!));
        const factor = ways.shares[way]! * Math.sqrt(gain);
        for (let k = 0; k < weights.length; k++) {
            const linear = own[k]! + ways.linears[way]!;
            const twice = variance * gain * linear * linear - deviances[k]! - ways.deviances[way]!;
            sum += factor * weights[k]! * Math.exp(twice / 2 - scale);
        }
    }
    return sum;
}

/** Causes on the car of which the same noise comes, with their effects on a front. */
interface Effects {
    components: readonly CarComponent[];
    vectors: readonly Vector[];
    more: Vector;
}

function effectsOn(front: Front, { known, unknown }: Categories['carComponents']): Effects[] {
    const ofOne = (component: CarComponent): Effects => ({
        components: [component],
        vectors: [component.pattern.front(front)],
        more: component.pattern.unknown!(front).map((variance) => component.variance * variance),
    });
    const vectors = known.map(({ pattern }) => pattern.front(front));
    return [{ components: known, vectors, more: nothing }, ...unknown.map(ofOne)];
}

const silent = new Evidence();
const still = [new Evidence(), new Evidence()] as const;
const once = Float64Array.of(1);
/** Of the rears, of all corners, and by effect of all but one front. */
const [unmoved, all] = [new Ways(), new Ways()];
const [moved, others] = [[] as Ways[], [] as Ways[]];
const rearsAlone = new Ways();

/** What the fronts may have changed together, where they moved, with its weight; nothing of less than a hundredth. */
function changesTogether(fronts: readonly JudgedFront[]): { weight: number; changes: Changes[] }[] {
    let found: { weight: number; changes: Changes[] }[] = [{ weight: 1, changes: [] }];
    for (const { parts } of fronts) {
        found = found.flatMap(({ weight, changes }) =>
            parts.map((part) => ({ weight: weight * part.weight, changes: [...changes, part.changes] })),
        );
    }
    return found.filter(({ weight }) => weight >= 0.01);
}

/** Likelihoods of `session`, see {@link Likelihoods}. */
export function likelihoodsOf({ fronts, rears }: Session): Likelihoods {
    const { corner, car, carComponents, slips } = categories;
    const terms = fronts.map((front) => termsOf(front, corner));
    const logs = fronts.map(({ changes, parts, heldLog }, j) =>
        terms[j]!.map((own, place) => {
            if (place === 0) return logAlone(withoutAngles(changes), own) + heldLog;
            const sum = new LogSum();
            for (const part of parts) sum.add(logAlone(part.changes, own), part.weight);
            return sum.log;
        }),
    );
    const tops = logs.map((own) => Math.max(...own));
    while (moved.length < carComponents.rears.length) moved.push(new Ways());
    takeRears([unmoved, ...moved], rears, [() => nothing, ...carComponents.rears]);
    const rearsSum = new LogSum();
    for (let way = 0; way < unmoved.count; way++)
        rearsSum.add(-unmoved.deviances[way]! / 2, unmoved.shares[way]!);
    rearsAlone.silent(-2 * rearsSum.log);
    const likeliest = tops.reduce((sum, top) => sum + top, rearsSum.log);
    const highest = [...fronts, ...rears].reduce((sum, one) => sum + logDet(one), 0) / -2;
    const scale = Math.max(likeliest, highest - 600);

    const held = new Array<number>(car.length).fill(0);
    const slipped = fronts.map(() => new Array<number>(held.length * slips.length).fill(0));
    const effects = fronts.map((front) => effectsOn(front, carComponents));
    const rest = ({ rear }: CarComponent) => (rear === null ? rearsAlone : moved[rear]!);
    for (const { weight, changes } of changesTogether(fronts)) {
        for (const [group, { components }] of effects[0]!.entries()) {
            for (let j = 0; j < fronts.length; j++) {
                const [{ pattern, sizes }] = terms[j]![0] as [Term];
                const { vectors, more } = effects[j]![group]!;
                still[j]!.take(changes[j]!, pattern.cause, sizes, vectors, more);
            }
            for (const [e, component] of components.entries()) {
                all.copy(rest(component));
                for (let j = 0; j < fronts.length; j++) all.add(still[j]!, e);
                held[component.place]! +=
                    weight * component.share * withCar(silent, 0, once, all, component.variance, scale);
            }
            for (let j = 0; j < fronts.length; j++) {
                const { vectors, more } = effects[j]![group]!;
                for (const [e, component] of components.entries()) {
                    others[e] ??= new Ways();
                    others[e].copy(rest(component));
                    if (fronts.length === 2) others[e].add(still[1 - j]!, e);
                }
                for (const [slip, category] of slips.entries()) {
                    for (const { pattern, sizes, share: part } of terms[j]![category]!) {
                        own.take(changes[j]!, pattern.cause, sizes, vectors, more);
                        for (let e = 0; e < components.length; e++) {
                            const { place, share, variance } = components[e]!;
                            const likelihood = withCar(own, e, sizes.weights, others[e]!, variance, scale);
                            slipped[j]![place * slips.length + slip]! += weight * share * part * likelihood;
                        }
                    }
                }
            }
        }
    }
    return {
        none: Math.max(Math.exp(likeliest - scale), 1e-300),
        alone: logs.map((own, j) => own.map((log) => Math.exp(log - tops[j]!))),
        held,
        slips: slipped,
    };
}
