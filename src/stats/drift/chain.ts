import { causeNamed } from './causes/index.js';
import type { Front } from './corner.js';
import { type Cause, type Changes, Evidence, Sizes, vector } from './gaussian.js';
import { slip } from './patterns.js';
import type { Shown } from './shown.js';

/** Places of camber as read, caster, SAI, toe and camber at equal toe. */
export const places = { camber: 0, caster: 1, sai: 2, toe: 3, equalToe: 4 } as const;
const COUNT = 5;
export const unread = Number.POSITIVE_INFINITY;

/** What is known of the angles of a corner, by {@link places}; a variance is Infinity where nothing tells. */
export interface Known {
    values: number[];
    variances: number[];
}

/** A state of a corner: the mean of its repeats, with the variance of readings and set-up. */
export interface State extends Known {
    /** Who read, as a place among readers. */
    reader: number;
}

/** What lies between a state of a corner and the next one. */
export interface Link {
    /** Probability that the corner moves there though nobody sets it. */
    odds: number;
    /** Why the states have nothing in common, such as another mount, or a part that was changed; null where they have. */
    broken: string | null;
    /** Tie rods were turned. */
    toeReset: boolean;
    /** What setting the bearing changes, with its variances; null where it was not set. */
    set: Known | null;
}

/** What a reader reads above another one, and its variance, of an angle as the places of {@link Known} have it. */
export type Step = (from: number, to: number, place: number) => { step: number; variance: number };

/** What tells of a corner besides its angles; and what was worked out of it, of camber as read and at equal toe. */
export interface Plate extends Pick<Front, 'chassis' | 'freedom' | 'slot'> {
    readonly slips: [(Cause | null)?, (Cause | null)?];
    readonly shown: [Shown?, Shown?];
}

export function unknown(): Known {
    return {
        values: [0, 0, 0, 0, 0],
        variances: [unread, unread, unread, unread, unread],
    };
}

const blank = (): Changes => ({
    read: [],
    values: vector(0, 0, 0, 0),
    variances: vector(1, 1, 1, 1, 1, 1, 1),
});

/** `later` less `earlier` put into `changes`; returns whether camber is at equal toe, which it is where toe is known on both sides. */
function compare(earlier: Known, later: Known, changes: Changes): boolean {
    const equalToe =
        earlier.variances[places.equalToe] !== unread && later.variances[places.equalToe] !== unread;
    let count = 0;
    for (let angle = 0; angle < 4; angle++) {
        const place = angle === 0 && equalToe ? places.equalToe : angle;
        const variance = earlier.variances[place]! + later.variances[place]!;
        if (variance === unread) continue;
        changes.read[count++] = angle;
        changes.values[angle] = later.values[place]! - earlier.values[place]!;
        changes.variances[angle] = variance;
    }
    changes.read.length = count;
    return equalToe;
}

/** Nothing, as what is known before a change that is known itself. */
const zero: Known = { values: [0, 0, 0, 0, 0], variances: [0, 0, 0, 0, 0] };

/** A known change as {@link Changes}, of which camber is at equal toe where toe is known on both sides; the pointer is left out. */
export function changesOf(known: Known): { changes: Changes; equalToe: boolean } {
    const changes = blank();
    return { equalToe: compare(zero, known, changes), changes };
}

/** The first two moments of a mixture; of an angle that only some of it tell, theirs, if they are likelier than not. */
function moments(parts: readonly { weight: number; known: Known }[]): Known {
    const made = unknown();
    for (let place = 0; place < COUNT; place++) {
        let weight = 0;
        let sum = 0;
        for (const part of parts) {
            if (part.known.variances[place] === unread) continue;
            weight += part.weight;
            sum += part.weight * part.known.values[place]!;
        }
        if (weight <= 0.5) continue;
        const mean = sum / weight;
        let variance = 0;
        for (const part of parts) {
            if (part.known.variances[place] === unread) continue;
            const gap = part.known.values[place]! - mean;
            variance += part.weight * (part.known.variances[place]! + gap * gap);
        }
        made.values[place] = mean;
        // Half a degree where the others hold.
        made.variances[place] = variance / weight + (1 - weight) * 0.25;
    }
    return made;
}

/** Of anything, by {@link places}: 0.5 deg of camber, SAI and toe, 1 deg of caster squared (common practice, no source); so where one side tells an angle and the other does not. */
const anyVariances = [0.25, 1, 0.25, 0.25, 0.25];
/** Millimetres that a bearing slips, or that somebody puts it back, unrecorded. */
const slips = new Sizes([[0, 0]], [1], 9, 9);
const evidence = new Evidence();

/** ln of the density of `changes` where nothing moved, or, with `share` 1, anything did; constants left out. */
function logOf({ read, values, variances }: Changes, share: 0 | 1): number {
    let squares = 0;
    let det = 1;
    for (let k = 0; k < read.length; k++) {
        const angle = read[k]!;
        const variance = variances[angle]! + share * anyVariances[angle]!;
        squares += (values[angle]! * values[angle]!) / variance;
        det *= variance;
    }
    return -(squares + Math.log(det)) / 2;
}

const noChanges = blank();

/** A slip of a plate, of which the tangent of caster is always the same. */
function slipOf(plate: Plate, equalToe: boolean, tanCaster: number): Cause | null {
    const toePart = equalToe ? 0 : tanCaster;
    const place = equalToe ? 1 : 0;
    if (plate.slips[place] === undefined)
        plate.slips[place] =
            slip({ ...plate, changes: noChanges, side: 1, toePart, toeReadPart: 0 })?.cause ?? null;
    return plate.slips[place]!;
}

const compared = blank();
const LN_HALF = -Math.LN2;

/** ln of the sum of the exponentials of `a` and `b`. */
function logOfSum(a: number, b: number): number {
    const top = Math.max(a, b);
    return top === Number.NEGATIVE_INFINITY ? top : top + Math.log1p(Math.exp(Math.min(a, b) - top));
}

/** ln of the densities of `read` after `before`, constants left out, where the corner stayed and where it moved. */
interface Densities {
    stayed: number;
    moved: number;
    /** Part of `moved`: its bearing slipped in its plate. */
    slipped: number;
}

/** Where it moved: by what its plate allows (null: a rear) or anyhow, half each. */
function densitiesOf(before: Known, read: Known, plate: Plate | null, tanCaster: number): Densities {
    const equalToe = compare(before, read, compared);
    let silent = 0;
    for (let place = 0; place < places.equalToe; place++) {
        if (before.variances[place] === unread && read.variances[place] !== unread)
            silent -= Math.log(anyVariances[place]! + read.variances[place]!) / 2;
    }
    if (compared.read.length === 0) return { stayed: silent, moved: silent, slipped: silent + LN_HALF };
    let slipped = Number.NEGATIVE_INFINITY;
    const cause = plate === null ? null : slipOf(plate, equalToe, tanCaster);
    if (cause !== null) {
        evidence.take(compared, cause, slips);
        slipped = silent + LN_HALF - evidence.deviances[0]! / 2;
    }
    const moved = logOfSum(silent + LN_HALF + logOf(compared, 1), slipped);
    return { stayed: silent + logOf(compared, 0), moved, slipped };
}

/** One of the things that may be known of a corner. */
export interface Part {
    weight: number;
    known: Known;
}

/** What may be known of a corner: a mixture, whose weights add up to 1, the likeliest first. */
export type Belief = readonly Part[];

export const sure = (known: Known): Belief => [{ weight: 1, known }];

/** Parts of less than this weight are left out, and of the others those after the first ones. */
const least = 0.003;
const most = 5;
const logs = new Float64Array(most * most * (2 * most + 1));

/** The belief of `count` parts, by the logarithms of their weights. */
function settled(logs: ArrayLike<number>, count: number, knownOf: (part: number) => Known): Belief {
    let top = Number.NEGATIVE_INFINITY;
    for (let part = 0; part < count; part++) top = Math.max(top, logs[part]!);
    const kept: { weight: number; part: number }[] = [];
    for (let part = 0; part < count; part++) {
        const weight = Math.exp(logs[part]! - top);
        if (weight <= least) continue;
        let at = kept.length;
        while (at > 0 && kept[at - 1]!.weight < weight) at--;
        if (at < most) kept.splice(at, 0, { weight, part });
        if (kept.length > most) kept.length = most;
    }
    const sum = kept.reduce((total, { weight }) => total + weight, 0);
    return kept.map(({ weight, part }) => ({ weight: weight / sum, known: knownOf(part) }));
}

/** What is known is the same on both sides. */
const isSame = ({ broken, toeReset, set }: Link) => broken === null && !toeReset && set === null;

/** `before`, as `from` reads it, as `reader` would read it after what was set on purpose; `way`: -1 back in time. */
export function carried(
    before: Known,
    from: number,
    reader: number,
    link: Link,
    way: 1 | -1,
    stepOf: Step,
): Known {
    const { broken, toeReset, set } = link;
    const after = unknown();
    if (broken !== null) return after;
    for (let place = 0; place < COUNT; place++) {
        if (before.variances[place] === unread || (place === places.toe && toeReset)) continue;
        after.values[place] = before.values[place]! + way * (set?.values[place] ?? 0);
        after.variances[place] = before.variances[place]! + (set?.variances[place] ?? 0);
        if (reader === from) continue;
        const { step, variance } = stepOf(from, reader, place);
        after.values[place]! += step;
        after.variances[place]! += variance;
    }
    return after;
}

/** A belief carried over a link, see {@link carried}. */
export const beliefAfter = (
    before: Belief,
    from: number,
    reader: number,
    link: Link,
    way: 1 | -1,
    stepOf: Step,
): Belief =>
    isSame(link) && reader === from
        ? before
        : before.map(({ weight, known }) => ({
              weight,
              known: carried(known, from, reader, link, way, stepOf),
          }));

/** What two say together of one state, put into `both`. */
export function pooled(one: Known, other: Known, both = unknown()): Known {
    for (let place = 0; place < COUNT; place++) {
        const v = one.variances[place]!;
        const w = other.variances[place]!;
        if (v === unread || w === unread) {
            const from = v <= w ? one : other;
            both.values[place] = from.values[place]!;
            both.variances[place] = from.variances[place]!;
        } else {
            both.values[place] = (w * one.values[place]! + v * other.values[place]!) / (v + w);
            both.variances[place] = (v * w) / (v + w);
        }
    }
    return both;
}

/**
 * What is known of a state from the states on one side of it, and how it fits what was read: the state pools with that where the corner
 * stayed and stands alone where it moved, which the readings themselves weigh. What is known is a mixture of normals, of which the
 * likeliest are kept (Bar-Shalom, Li and Kirubarajan, Estimation with Applications to Tracking and Navigation, 2001, chapter 11; from memory).
 */
export class Meeting {
    readonly #before: Belief;
    readonly #state: Known;
    readonly #densities: readonly Densities[];

    /** `before`: what is known of the state at the other end of a link, carried over it. `tanCaster`: of the corner. */
    constructor(before: Belief, state: Known, plate: Plate | null, tanCaster: number) {
        this.#before = before;
        this.#state = state;
        this.#densities = before.map(({ known }) => densitiesOf(known, state, plate, tanCaster));
    }

    /** ln of the weight of what is known before, by its parts, where the corner moved. */
    #movedLog(odds: number): number {
        let log = Number.NEGATIVE_INFINITY;
        for (let k = 0; k < this.#before.length; k++)
            log = logOfSum(log, this.#densities[k]!.moved + Math.log(this.#before[k]!.weight * odds));
        return log;
    }

    /** The same where it stayed. */
    #stayedLog(odds: number): number {
        let log = Number.NEGATIVE_INFINITY;
        for (let k = 0; k < this.#before.length; k++)
            log = logOfSum(log, this.#densities[k]!.stayed + Math.log(this.#before[k]!.weight * (1 - odds)));
        return log;
    }

    /** Probability that the corner moved between them, `odds` before they are looked at. */
    moved(odds: number): number {
        const moved = this.#movedLog(odds);
        return Math.exp(moved - logOfSum(this.#stayedLog(odds), moved));
    }

    /** ln of the densities of what was read where the corner stayed, and where it moved; constants left out. */
    get logs(): { stayed: number; moved: number } {
        return { stayed: this.#stayedLog(0), moved: this.#movedLog(1) };
    }

    /** Probability that, where it moved, its bearing slipped. */
    slipped(): number {
        let slipped = Number.NEGATIVE_INFINITY;
        let moved = Number.NEGATIVE_INFINITY;
        for (let k = 0; k < this.#before.length; k++) {
            const { weight } = this.#before[k]!;
            slipped = logOfSum(slipped, this.#densities[k]!.slipped + Math.log(weight));
            moved = logOfSum(moved, this.#densities[k]!.moved + Math.log(weight));
        }
        return Math.exp(slipped - moved);
    }

    /** What both say. */
    known(odds: number): Belief {
        const count = this.#before.length;
        for (let k = 0; k < count; k++)
            logs[k] = this.#densities[k]!.stayed + Math.log(this.#before[k]!.weight * (1 - odds));
        logs[count] = this.#movedLog(odds);
        return settled(logs, count + 1, (k) =>
            k < count ? pooled(this.#before[k]!.known, this.#state) : this.#state,
        );
    }

    /** What is known of the corner as it was before it moved with probability `moved`: the belief, and the state as far as it did not move. */
    unmoved(moved: number): Known {
        return moments(
            this.#before.flatMap(({ weight, known }) => [
                { weight: weight * (1 - moved), known: pooled(known, this.#state) },
                { weight: weight * moved, known },
            ]),
        );
    }
}

/** Probability that setting the bearing anew undoes a slip, and anything else that moved, such as a bend. */
const undoes = { slip: causeNamed('plate_slipped').undone, other: causeNamed('spindle_bent').undone };

/** A corner as its pointers have it, whatever moved since it was set, with the probabilities that something did and that setting it undoes that. */
export interface AsSet {
    known: Known;
    displaced: number;
    undone: number;
}

/**
 * Each state as its pointers have it: where the bearing is set anew it goes where the pointers say, and what slipped before is undone.
 * `meet(before, i)` is the {@link Meeting} of state i with what is known of its neighbour; `displaced(before, i)` is the probability at state i, before it is looked at, from that at its neighbour.
 */
export function asSet(
    states: readonly State[],
    links: readonly Link[],
    meet: (before: Belief, i: number) => Meeting,
    displaced: (before: number, i: number) => number,
): AsSet[] {
    const found: AsSet[] = [];
    for (const [i, state] of states.entries()) {
        const last = found[i - 1];
        if (last === undefined || links[i - 1]!.broken !== null) {
            found.push({ known: state, displaced: 0, undone: 0 });
            continue;
        }
        const meeting = meet(sure(last.known), i);
        const moved = meeting.moved(displaced(last.displaced, i));
        const slipped = meeting.slipped();
        const undone = moved * (slipped * undoes.slip + (1 - slipped) * undoes.other);
        found.push({ known: meeting.unmoved(moved), displaced: moved, undone });
    }
    return found;
}

/** A corner about to be set anew: as its pointers have it where what displaced it is undone by that, else as it is. */
export function leaving(as: Belief, { known, undone }: AsSet): Belief {
    for (let k = 0; k < as.length; k++) logs[k] = Math.log(as[k]!.weight * (1 - undone));
    logs[as.length] = Math.log(undone);
    return settled(logs, as.length + 1, (k) => as[k]?.known ?? known);
}

/** Probabilities of what follows a session before the next reading, where the corner moved: that is put right, and that it moves anew. */
export interface Rest {
    putRight: number;
    moved: number;
}

/** What the states on both sides of a session say of it. */
export interface Judged {
    /** Its change where the corner moved, whatever followed. */
    moved: Belief;
    /** The same by its first two moments. */
    mean: Known;
    /** ln of the density of no change, where the corner held, of the angles that tell of `mean`: a sum over what may have followed. */
    heldLog: number;
}

/** The values and variances of the angles `told` of the change from `earlier` to `later`; one that tells nothing of an angle allows anything there. */
function compareAs(
    earlier: Known,
    later: Known,
    told: readonly number[],
    equalToe: boolean,
    part: Changes,
): void {
    for (let k = 0; k < told.length; k++) {
        const angle = told[k]!;
        const place = angle === 0 && equalToe ? places.equalToe : angle;
        const variance = earlier.variances[place]! + later.variances[place]!;
        const isTold = variance !== unread;
        part.values[angle] = isTold ? later.values[place]! - earlier.values[place]! : 0;
        part.variances[angle] = isTold ? variance : anyVariances[place]!;
    }
}

/** A part of a belief in changes put in place of the angles that `told` of `mean`, the changes of the belief; see {@link Judged}. */
export function partOf(known: Known, mean: Changes, told: readonly number[], equalToe: boolean): Changes {
    const part = { read: mean.read, values: mean.values.slice(), variances: mean.variances.slice() };
    compareAs(zero, known, told, equalToe, part);
    return part;
}

function difference(earlier: Known, later: Known): Known {
    const made = unknown();
    for (let place = 0; place < COUNT; place++) {
        made.values[place] = later.values[place]! - earlier.values[place]!;
        made.variances[place] = earlier.variances[place]! + later.variances[place]!;
    }
    return made;
}

/**
 * `before` is what is known before the session, `after` after it and `next` what is known from the states after that one, null where nothing
 * may be put right without a record; all as one reader reads. Where the corner held, `next` pools with `after` unless it moved anew; where
 * it moved, with `after`, or with `before` where it was put right.
 */
export function judge(
    before: Belief,
    after: Belief,
    next: Belief | null,
    rest: Rest,
    plate: Plate | null,
    tanCaster: number,
): Judged {
    const rests = next ?? [];
    const count = rests.length;
    const meet = (belief: Belief) =>
        belief.map(({ known }) =>
            rests.map((then) => {
                const { stayed, moved } = densitiesOf(known, then.known, plate, tanCaster);
                const weight = Math.log(then.weight);
                return { stayed: stayed + weight, moved: moved + weight };
            }),
        );
    const [returns, stays] = [meet(before), meet(after)];
    const anew = stays.map((own) =>
        next === null
            ? 0
            : Math.log(rest.moved) +
              own.reduce((sum, { moved }) => logOfSum(sum, moved), Number.NEGATIVE_INFINITY),
    );
    // By what is known before and after: pooled with each of `next` after the session, before it, and moved anew.
    const each = 2 * count + 1;
    const stayed = Math.log(1 - rest.moved - rest.putRight);
    const returned = Math.log(rest.putRight);
    let all = Number.NEGATIVE_INFINITY;
    for (let a = 0; a < before.length; a++) {
        for (let b = 0; b < after.length; b++) {
            const own = Math.log(before[a]!.weight * after[b]!.weight);
            const at = each * (a * after.length + b);
            for (let k = 0; k < count; k++) {
                logs[at + k] = own + stays[b]![k]!.stayed + stayed;
                logs[at + count + k] = own + returns[a]![k]!.stayed + returned;
            }
            logs[at + 2 * count] = own + anew[b]!;
            for (let k = 0; k < each; k++) all = logOfSum(all, logs[at + k]!);
        }
    }
    const moved = settled(logs, each * before.length * after.length, (part) => {
        const k = part % each;
        const pair = (part - k) / each;
        const b = pair % after.length;
        const from = before[(pair - b) / after.length]!.known;
        const to = after[b]!.known;
        if (k < count) return difference(from, pooled(to, rests[k]!.known));
        return difference(k < 2 * count ? pooled(from, rests[k - count]!.known) : from, to);
    });
    const mean = moments(moved);
    const equalToe = compare(zero, mean, compared);
    const { read } = compared;
    // Of the same where the corner held.
    const heldMore = Math.log(1 - rest.moved) - stayed;
    let still = Number.NEGATIVE_INFINITY;
    for (let b = 0; b < after.length; b++) {
        for (let k = 0; k <= count; k++) {
            const to = k === count ? after[b]!.known : pooled(after[b]!.known, rests[k]!.known, both);
            for (let a = 0; a < before.length; a++) {
                compareAs(before[a]!.known, to, read, equalToe, compared);
                const at = each * (a * after.length + b);
                const log = k === count ? logs[at + 2 * count]! : logs[at + k]! + heldMore;
                still = logOfSum(still, log + logOf(compared, 0));
            }
        }
    }
    return { moved, mean, heldLog: still - all };
}

const both = unknown();

/** ln of how much likelier `next` is where what moved was put right than where it stayed moved; see {@link judge}. */
export const logPutRight = (
    before: Known,
    after: Known,
    next: Known,
    plate: Plate | null,
    tanCaster: number,
) => densitiesOf(before, next, plate, tanCaster).stayed - densitiesOf(after, next, plate, tanCaster).stayed;

/** Changes of a corner for a move of the bearing, mm, with their variances from slopes and pointers; by {@link places}. */
export function setBy(
    { slopes }: Front['chassis'],
    out: number,
    aft: number,
    pointerVariance: number,
    tanCaster: number,
): Known {
    const made = unknown();
    // Slopes are of camber at equal toe, caster, SAI and toe.
    const own = [places.equalToe, places.caster, places.sai, places.toe];
    for (const [angle, place] of own.entries()) {
        const { outVariance, aftVariance, covariance, spread, ...slope } = slopes[angle]!;
        made.values[place] = slope.out * out + slope.aft * aft;
        made.variances[place] =
            out * out * outVariance +
            2 * out * aft * covariance +
            aft * aft * aftVariance +
            (out * out + aft * aft) * spread +
            (slope.out * slope.out + slope.aft * slope.aft) * pointerVariance;
    }
    const [equal, toe] = [places.equalToe, places.toe];
    made.values[places.camber] = made.values[equal]! - tanCaster * made.values[toe]!;
    made.variances[places.camber] = made.variances[equal]! + tanCaster * tanCaster * made.variances[toe]!;
    return made;
}
