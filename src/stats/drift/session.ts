import { type CarComponent, categories } from './categories.js';
import type { Ends } from './components.js';
import type { AfterSet, Corner } from './corner.js';
import { ANGLES, type Changes, Evidence, LogSum, nothing } from './gaussian.js';
import { takeRears, Ways } from './rears.js';
import { type Shown, type Term, within } from './shown.js';

/** What the changes of a front may have been, with the weight. */
interface Part {
    weight: number;
    changes: Changes;
}

/** A front as the whole record has it; see table session_changes. */
export interface JudgedFront {
    /** Its changes by their first two moments. */
    changes: Changes;
    /** What they may have been, where it moved, by weights that add up to 1. */
    parts: readonly Part[];
    /** ln of the density of its angles where it held. */
    heldLog: number;
    shown: Shown;
    afterSet: AfterSet;
    /** Of its slot; null where not known. */
    ends: Ends | null;
}

/** Nats that it may cost to take two parts for one. */
const LOSS = 1e-3;

/**
 * The parts, those that nearly say the same of the angles `told` taken for one of their moments: while that costs less than {@link LOSS} by
 * the bound of Runnalls (2007, IEEE Transactions on Aerospace and Electronic Systems 43, 989-999; from memory).
 */
export function merged(parts: readonly Part[], told: readonly number[]): readonly Part[] {
    for (let i = 0; i < parts.length; i++) {
        for (let j = i + 1; j < parts.length; j++) {
            const [a, b] = [parts[i]!, parts[j]!];
            const weight = a.weight + b.weight;
            const share = b.weight / weight;
            const values = a.changes.values.slice();
            const variances = a.changes.variances.slice();
            let loss = 0;
            for (let k = 0; k < told.length && loss < 2 * LOSS; k++) {
                const angle = told[k]!;
                const [v, w] = [a.changes.variances[angle]!, b.changes.variances[angle]!];
                const gap = b.changes.values[angle]! - values[angle]!;
                values[angle]! += share * gap;
                const variance = v + share * (w - v + (1 - share) * gap * gap);
                variances[angle] = variance;
                loss += a.weight * Math.log(variance / v) + b.weight * Math.log(variance / w);
            }
            if (loss >= 2 * LOSS) continue;
            const one: Part = { weight, changes: { read: a.changes.read, values, variances } };
            return merged([...parts.slice(0, i), one, ...parts.slice(i + 1, j), ...parts.slice(j + 1)], told);
        }
    }
    return parts;
}

/** Corners of one car over a session, with one front or two. */
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

const own = new Evidence();

/** Logarithm of the likelihood of a category that shows in `terms`, of these parts. */
function logAlone(parts: readonly Part[], terms: readonly Term[]): number {
    let top = Number.NEGATIVE_INFINITY;
    let sum = 0;
    for (let p = 0; p < parts.length; p++) {
        const { weight, changes } = parts[p]!;
        for (let t = 0; t < terms.length; t++) {
            const { pattern, sizes, share } = terms[t]!;
            own.take(changes, pattern.cause, sizes);
            const { weights } = sizes;
            for (let k = 0; k < weights.length; k++) {
                const log = -own.deviances[k]! / 2;
                if (log > top) {
                    sum *= Math.exp(top - log);
                    top = log;
                }
                sum += weight * share * weights[k]! * Math.exp(log - top);
            }
        }
    }
    return top + Math.log(sum);
}

/** What was read besides the angles, pointer and ride height, as if that were all. */
function withoutAngles({ read, values, variances }: Changes): Part[] {
    return [{ weight: 1, changes: { read: read.filter((place) => place >= ANGLES), values, variances } }];
}

/** Logarithms of the likelihoods of a front's categories, without a cause on the car. */
function logsOf(front: JudgedFront, terms: Shown['terms']): Float64Array {
    const logs = new Float64Array(terms.length);
    logs[0] = logAlone(withoutAngles(front.changes), terms[0]!) + front.heldLog;
    for (let place = 1; place < logs.length; place++)
        logs[place] =
            logAlone(front.parts, terms[place]!) +
            Math.log(setAfter(front, categories.corner[place]!.undone));
    return logs;
}

function logDet({ read, variances }: Changes): number {
    let log = 0;
    for (let k = 0; k < read.length; k++) log += Math.log(variances[read[k]!]!);
    return log;
}

/** Under this ln of a likelihood, of which the likeliest without a cause on the car has 0, nothing counts: 4e-18. */
const NEGLIGIBLE = -40;

/** Over what likelihoods are taken, ln, and under which ln of what is left nothing counts. */
interface Scale {
    scale: number;
    least: number;
}

/** Where likelihoods of causes on the car are added: beside a slip, one of `count`, or none. */
interface Sums {
    values: Float64Array;
    slip: number;
    count: number;
}

/**
 * Adds, by cause on the car, `share` times the likelihoods, over exp(`scale`), of what `front` says with sizes of these weights, beside the
 * `other` front and the rears; the size of a cause on the car is normal about 0.
 */
function addCauses(
    { values, slip, count }: Sums,
    components: readonly CarComponent[],
    front: Evidence,
    weights: Float64Array,
    other: Evidence,
    share: number,
    { scale, least }: Scale,
): void {
    const { deviances, linears, quadratics } = front;
    for (let e = 0; e < components.length; e++) {
        const component = components[e]!;
        const { variance } = component;
        const rears = component.rear === null ? rearsAlone : moved[component.rear]!;
        const own = linears[e]!;
        const otherDeviance = other.deviances[0]!;
        const otherLinear = other.linears[e]![0]!;
        const quadratic = quadratics[e]! + other.quadratics[e]!;
        let sum = 0;
        for (let way = 0; way < rears.count; way++) {
            const gain = 1 / (1 + variance * (quadratic + rears.quadratics[way]!));
            const linear = otherLinear + rears.linears[way]!;
            const deviance = otherDeviance + rears.deviances[way]!;
            let likelihood = 0;
            for (let k = 0; k < weights.length; k++) {
                const both = own[k]! + linear;
                const log = (variance * gain * both * both - deviances[k]! - deviance) / 2 - scale;
                if (log > least) likelihood += weights[k]! * Math.exp(log);
            }
            if (likelihood > 0) sum += rears.shares[way]! * Math.sqrt(gain) * likelihood;
        }
        values[component.place * count + slip]! += share * component.share * sum;
    }
}

/** Of no front. */
const nobody = new Evidence();
const once = Float64Array.of(1);
/** Of the rears where nothing moved the car, that alone, and by effect on them. */
const [unmoved, rearsAlone] = [new Ways(), new Ways()];
const moved = categories.rears.map(() => new Ways());

/** Of a front by part: while it held, and by slip and its ways; made once. */
interface Taken {
    still: Evidence;
    slipped: Evidence[][];
}
const taken: Taken[][] = [[], []];

/** Takes the evidence of each part of a front, held and slipped, beside these effects on the car. */
function takeFront(own: Taken[], { parts, shown }: JudgedFront, terms: Shown['terms'], group: number): void {
    const { vectors, more } = shown.effects[group]!;
    const { variance } = categories.carGroups[group]!;
    const [held] = terms[0] as [Term];
    for (let p = 0; p < parts.length; p++) {
        const { changes } = parts[p]!;
        own[p] ??= { still: new Evidence(), slipped: categories.slips.map(() => []) };
        const { still, slipped } = own[p]!;
        still.take(changes, held.pattern.cause, held.sizes, vectors, more, variance);
        for (let slip = 0; slip < slipped.length; slip++) {
            const ways = terms[categories.slips[slip]!]!;
            for (let t = 0; t < ways.length; t++) {
                slipped[slip]![t] ??= new Evidence();
                slipped[slip]![t]!.take(
                    changes,
                    ways[t]!.pattern.cause,
                    ways[t]!.sizes,
                    vectors,
                    more,
                    variance,
                );
            }
        }
    }
}

/** Parts of the fronts that their changes may have been together, by their places, with the weight. */
interface Together {
    weight: number;
    left: number;
    /** Null where there is one front. */
    right: number | null;
}

/** All of them but those of less than a hundredth. */
function partsTogether([first, second]: readonly JudgedFront[]): Together[] {
    const found: Together[] = [];
    const add = (weight: number, left: number, right: number | null) => {
        if (weight >= 0.01) found.push({ weight, left, right });
    };
    for (const [left, { weight }] of first!.parts.entries()) {
        if (second === undefined) add(weight, left, null);
        else for (const [right, other] of second.parts.entries()) add(weight * other.weight, left, right);
    }
    return found;
}

/** What the next setting of a front says of a cause that it undoes with that probability, see {@link AfterSet}. */
function setAfter({ afterSet }: JudgedFront, undone: number): number {
    const gone = undone + (1 - undone) * afterSet.putRight;
    return gone * afterSet.undone + (1 - gone) * afterSet.remains;
}

/** Probability that setting the bearing undoes a cause on the car and a slip besides: what is left is neither. */
const BOTH = 0.5;

/** Adds the likelihoods of causes on the car of `group`, of all parts of the fronts together: while the fronts held, and with a slip of one besides. */
function addGroup(
    fronts: readonly JudgedFront[],
    terms: readonly Shown['terms'][],
    group: number,
    together: readonly Together[],
    held: Float64Array,
    slipped: readonly Float64Array[],
    over: Scale,
): void {
    const { components } = categories.carGroups[group]!;
    for (let j = 0; j < fronts.length; j++) takeFront(taken[j]!, fronts[j]!, terms[j]!, group);
    for (let k = 0; k < together.length; k++) {
        const { weight, left, right } = together[k]!;
        const first = taken[0]![left]!;
        const second = right === null ? null : taken[1]![right]!;
        const other = second === null ? nobody : second.still;
        addCauses({ values: held, slip: 0, count: 1 }, components, first.still, once, other, weight, over);
        addSlips(slipped[0]!, components, first, terms[0]!, other, weight, over);
        if (second !== null) addSlips(slipped[1]!, components, second, terms[1]!, first.still, weight, over);
    }
}

/** Adds those with a slip of the front `own` of which the terms are these, beside the `other` one. */
function addSlips(
    values: Float64Array,
    components: readonly CarComponent[],
    own: Taken,
    terms: Shown['terms'],
    other: Evidence,
    weight: number,
    over: Scale,
): void {
    const { slips } = categories;
    const count = slips.length;
    for (let slip = 0; slip < count; slip++) {
        const ways = terms[slips[slip]!]!;
        for (let t = 0; t < ways.length; t++) {
            const { sizes, share } = ways[t]!;
            const evidence = own.slipped[slip]![t]!;
            addCauses(
                { values, slip, count },
                components,
                evidence,
                sizes.weights,
                other,
                weight * share,
                over,
            );
        }
    }
}

/** Weighs `held` and `slipped` by what the next setting of each front says: of a cause on the car alone, and of a front that slipped besides. */
function weighSettings(
    fronts: readonly JudgedFront[],
    held: Float64Array,
    slipped: readonly Float64Array[],
): void {
    const { car, slips } = categories;
    for (let place = 0; place < car.length; place++) {
        const left = fronts.map((front) => setAfter(front, car[place]!.undone));
        for (let j = 0; j < fronts.length; j++) {
            held[place]! *= left[j]!;
            const both = setAfter(fronts[j]!, BOTH) * (left[1 - j] ?? 1);
            for (let slip = 0; slip < slips.length; slip++) slipped[j]![place * slips.length + slip]! *= both;
        }
    }
}

/** ln of the likelihood of the rears, where nothing moved the car. */
function logOfRears(rears: readonly Corner[]): number {
    takeRears([unmoved, ...moved], rears, [() => nothing, ...categories.rears]);
    const sum = new LogSum();
    for (let way = 0; way < unmoved.count; way++) sum.add(-unmoved.deviances[way]! / 2, unmoved.shares[way]!);
    rearsAlone.silent(-2 * sum.log);
    return sum.log;
}

/** Likelihoods of `session`, see {@link Likelihoods}. */
export function likelihoodsOf({ fronts, rears }: Session): Likelihoods {
    const { car, slips, carGroups } = categories;
    const terms = fronts.map(({ shown, ends }) =>
        ends === null ? shown.terms : shown.terms.map((own) => within(own, ends)),
    );
    const logs = fronts.map((front, j) => logsOf(front, terms[j]!));
    const tops = logs.map((own) => Math.max(...own));
    const likeliest = tops.reduce((sum, top) => sum + top, logOfRears(rears));
    const highest = [...fronts, ...rears].reduce((sum, { changes }) => sum + logDet(changes), 0) / -2;
    const scale = Math.max(likeliest, highest - 600);
    const over = { scale, least: scale === likeliest ? NEGLIGIBLE : Number.NEGATIVE_INFINITY };
    const held = new Float64Array(car.length);
    const slipped = fronts.map(() => new Float64Array(car.length * slips.length));
    const together = partsTogether(fronts);
    for (let group = 0; group < carGroups.length; group++)
        addGroup(fronts, terms, group, together, held, slipped, over);
    weighSettings(fronts, held, slipped);
    return {
        none: Math.max(Math.exp(likeliest - scale), 1e-300),
        alone: logs.map((own, j) => Array.from(own, (log) => Math.exp(log - tops[j]!))),
        held: [...held],
        slips: slipped.map((own) => [...own]),
    };
}
