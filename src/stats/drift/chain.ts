import type { Front } from './corner.js';
import { Cause, type Changes, Evidence, LogSum, nothing, Sizes, vector } from './gaussian.js';
import { slip } from './patterns.js';

/** Places of camber as read, caster, SAI, toe and camber at equal toe. */
export const places = { camber: 0, caster: 1, sai: 2, toe: 3, equalToe: 4 } as const;
const COUNT = 5;
const unread = Number.POSITIVE_INFINITY;

/** What is known of the angles of a corner, by {@link places}; a variance is Infinity where nothing tells. */
export interface Known {
    values: number[];
    variances: number[];
}

/** A state of a corner: the mean of its repeats, with the variance of readings and set-up. */
export interface State extends Known {
    /** Who read, as a number of readers. */
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

/** What tells of a corner besides its angles. */
export type Plate = Pick<Front, 'chassis' | 'freedom' | 'slot'>;

export function unknown(): Known {
    return {
        values: [0, 0, 0, 0, 0],
        variances: [unread, unread, unread, unread, unread],
    };
}

/** `later` less `earlier`. */
export function difference(earlier: Known, later: Known): Known {
    const made = unknown();
    for (let place = 0; place < COUNT; place++) {
        made.values[place] = later.values[place]! - earlier.values[place]!;
        made.variances[place] = earlier.variances[place]! + later.variances[place]!;
    }
    return made;
}

const blank = (): Changes => ({
    read: [],
    values: new Float64Array(7),
    variances: new Float64Array(7).fill(1),
});

/** That difference put into `changes`; returns whether camber is at equal toe, which it is where toe is known on both sides. */
function put({ values, variances }: Known, changes: Changes): boolean {
    const equalToe = variances[places.equalToe] !== unread;
    let count = 0;
    for (let angle = 0; angle < 4; angle++) {
        const place = angle === 0 && equalToe ? places.equalToe : angle;
        if (variances[place] === unread) continue;
        changes.read[count++] = angle;
        changes.values[angle] = values[place]!;
        changes.variances[angle] = variances[place]!;
    }
    changes.read.length = count;
    return equalToe;
}

/** That difference as {@link Changes}, of which camber is at equal toe where toe is known on both sides; the pointer is left out. */
export function changesOf(known: Known): { changes: Changes; equalToe: boolean } {
    const changes = blank();
    return { equalToe: put(known, changes), changes };
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

const stay = new Cause(nothing, nothing, nothing, nothing);
/** Anything, of these standard deviations: 0.5 deg of camber, SAI and toe, 1 deg of caster (common practice, no source). */
const anything = new Cause(nothing, nothing, vector(0.25, 1, 0.25, 0.25), nothing);
const [none, once] = [new Sizes([[0, 0]], [1], 0, 0), new Sizes([[0, 0]], [1], 0, 1)];
/** Millimetres that a bearing slips, or that somebody puts it back, unrecorded. */
const slips = new Sizes([[0, 0]], [1], 9, 9);
const evidence = new Evidence();

function logOf(changes: Changes, cause: Cause, sizes: Sizes): number {
    evidence.take(changes, cause, sizes);
    return -evidence.deviances[0]! / 2;
}

/** Slips by plate, of camber at equal toe and as read. */
const slipsByPlate = new WeakMap<Plate, { tanCaster: number; equal: Cause | null; asRead: Cause | null }>();

function slipOf(plate: Plate, equalToe: boolean, tanCaster: number): Cause | null {
    let known = slipsByPlate.get(plate);
    if (known?.tanCaster !== tanCaster) {
        const of = (toePart: number) =>
            slip({ ...plate, changes: blank(), ends: null, side: 1, toePart, toeReadPart: 0 })?.cause ?? null;
        known = { tanCaster, equal: of(0), asRead: of(tanCaster) };
        slipsByPlate.set(plate, known);
    }
    return equalToe ? known.equal : known.asRead;
}

const compared = blank();

/** Variances that stand in where one side does not tell an angle that the other does, deg2, by {@link places}. */
const silentVariances = [0.25, 1, 0.25, 0.25, 0.25];

/** ln of the densities of `read` after `before`, constants left out, where the corner stayed and where it moved. */
interface Densities {
    stayed: number;
    moved: number;
}

/** Where it moved: by what its plate allows (null: a rear) or anyhow, half each. */
function densitiesOf(before: Known, read: Known, plate: Plate | null, tanCaster: number): Densities {
    const equalToe = put(difference(before, read), compared);
    let silent = 0;
    for (let place = 0; place < places.equalToe; place++) {
        if (before.variances[place] === unread && read.variances[place] !== unread)
            silent -= Math.log(silentVariances[place]! + read.variances[place]!) / 2;
    }
    if (compared.read.length === 0) return { stayed: silent, moved: silent };
    const sum = new LogSum();
    sum.add(logOf(compared, anything, once), 0.5);
    const slipped = plate === null ? null : slipOf(plate, equalToe, tanCaster);
    if (slipped !== null) sum.add(logOf(compared, slipped, slips), 0.5);
    return { stayed: silent + logOf(compared, stay, none), moved: silent + sum.log };
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

/** Parts by the logarithms of their weights. */
interface Weighed {
    log: number;
    known: Known;
}

function settled(parts: readonly Weighed[]): Belief {
    const top = parts.reduce((highest, { log }) => Math.max(highest, log), Number.NEGATIVE_INFINITY);
    const kept = parts
        .map(({ log, known }) => ({ weight: Math.exp(log - top), known }))
        .filter(({ weight }) => weight > least)
        .sort((one, other) => other.weight - one.weight)
        .slice(0, most);
    const sum = kept.reduce((total, { weight }) => total + weight, 0);
    return kept.map(({ weight, known }) => ({ weight: weight / sum, known }));
}

/** `before`, as `from` reads it, as `reader` would read it after what was set on purpose; `way`: -1 back in time. */
function carried(before: Known, from: number, reader: number, link: Link, way: 1 | -1, stepOf: Step): Known {
    const after = unknown();
    if (link.broken !== null) return after;
    for (let place = 0; place < COUNT; place++) {
        if (before.variances[place] === unread || (place === places.toe && link.toeReset)) continue;
        const { step, variance } = reader === from ? { step: 0, variance: 0 } : stepOf(from, reader, place);
        after.values[place] = before.values[place]! + step + way * (link.set?.values[place] ?? 0);
        after.variances[place] = before.variances[place]! + variance + (link.set?.variances[place] ?? 0);
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
    before.map(({ weight, known }) => ({ weight, known: carried(known, from, reader, link, way, stepOf) }));

/** What two say together of one state. */
function pooled(one: Known, other: Known): Known {
    const both = unknown();
    for (let place = 0; place < COUNT; place++) {
        const [v, w] = [one.variances[place]!, other.variances[place]!];
        if (v === unread || w === unread) {
            const [from] = v <= w ? [one] : [other];
            both.values[place] = from.values[place]!;
            both.variances[place] = from.variances[place]!;
        } else {
            both.values[place] = (w * one.values[place]! + v * other.values[place]!) / (v + w);
            both.variances[place] = (v * w) / (v + w);
        }
    }
    return both;
}

/** What is known of a state from the states on one side of it, and how it fits what was read. */
export class Meeting {
    readonly #before: Belief;
    readonly #state: State;
    readonly #densities: readonly Densities[];

    /** `before`: what is known of the state at the other end of a link, carried over it. `tanCaster`: of the corner. */
    constructor(before: Belief, state: State, plate: Plate | null, tanCaster: number) {
        this.#before = before;
        this.#state = state;
        this.#densities = before.map(({ known }) => densitiesOf(known, state, plate, tanCaster));
    }

    /** Probability that the corner moved between them, `odds` before they are looked at. */
    moved(odds: number): number {
        const [moved, all] = [new LogSum(), new LogSum()];
        for (const [k, { weight }] of this.#before.entries()) {
            const density = this.#densities[k]!;
            moved.add(density.moved, weight * odds);
            all.add(density.moved, weight * odds);
            all.add(density.stayed, weight * (1 - odds));
        }
        return Math.exp(moved.log - all.log);
    }

    /** What both say. */
    known(odds: number): Belief {
        const moved = new LogSum();
        const parts = this.#before.map(({ weight, known }, k) => {
            const density = this.#densities[k]!;
            moved.add(density.moved, weight * odds);
            return { log: density.stayed + Math.log(weight * (1 - odds)), known: pooled(known, this.#state) };
        });
        return settled([...parts, { log: moved.log, known: this.#state }]);
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

/** A corner as its pointers have it, whatever slipped since it was set, with the probability that something did. */
export interface AsSet {
    known: Known;
    displaced: number;
}

/**
 * Each state as its pointers have it: where the bearing is set anew it goes where the pointers say, and what slipped before is undone.
 * `meet(before, i)` as in {@link known}; `displaced(before, i)` is the probability at state i, before it is looked at, from that at its neighbour.
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
            found.push({ known: state, displaced: 0 });
            continue;
        }
        const meeting = meet(sure(last.known), i);
        const moved = meeting.moved(displaced(last.displaced, i));
        found.push({ known: meeting.unmoved(moved), displaced: moved });
    }
    return found;
}

/** A corner about to be set anew: as its pointers have it where `share` of what displaced it is undone by that, else as it is. */
export function leaving(as: Belief, { known, displaced }: AsSet, share: number): Belief {
    const undone = displaced * share;
    return settled([
        ...as.map((part) => ({ log: Math.log(part.weight * (1 - undone)), known: part.known })),
        { log: Math.log(undone), known },
    ]);
}

/**
 * What each state and all on one side of it tell of the corner, as the reader of that state reads: a state pools with what is known before
 * where the corner stayed and stands alone where it moved, which the readings themselves weigh: a mixture of normals, of which the
 * likeliest are kept (Bar-Shalom, Li and Kirubarajan, Estimation with Applications to Tracking and Navigation, 2001, chapter 11; from memory).
 * `meet(before, i)` is the {@link Meeting} of state i with what is known of its neighbour; `links[i - 1]` lies between.
 */
export function known(
    states: readonly State[],
    links: readonly Link[],
    meet: (before: Belief, i: number) => Meeting,
): Belief[] {
    const found: Belief[] = [];
    for (const [i, state] of states.entries())
        found.push(i === 0 ? sure(state) : meet(found[i - 1]!, i).known(links[i - 1]!.odds));
    return found;
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

/** A part of a belief in changes, of the angles that tell of their `mean`; one that tells nothing of an angle allows anything there. */
export function partOf({ values, variances }: Known, mean: Known, part = blank()): Changes {
    const equalToe = put(mean, part);
    for (const angle of part.read) {
        const place = angle === 0 && equalToe ? places.equalToe : angle;
        const isTold = variances[place] !== unread;
        part.values[angle] = isTold ? values[place]! : 0;
        part.variances[angle] = isTold ? variances[place]! : silentVariances[place]!;
    }
    return part;
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
    const [moved, held]: [Weighed[], Weighed[]] = [[], []];
    for (const from of before) {
        for (const to of after) {
            const change = difference(from.known, to.known);
            const log = Math.log(from.weight * to.weight);
            if (next === null) {
                moved.push({ log, known: change });
                held.push({ log, known: change });
                continue;
            }
            for (const then of next) {
                const own = log + Math.log(then.weight);
                const stays = densitiesOf(to.known, then.known, plate, tanCaster);
                const returns = densitiesOf(from.known, then.known, plate, tanCaster);
                const withNext = difference(from.known, pooled(to.known, then.known));
                const anew = { log: own + stays.moved + Math.log(rest.moved), known: change };
                moved.push(
                    {
                        log: own + stays.stayed + Math.log(1 - rest.moved - rest.putRight),
                        known: withNext,
                    },
                    {
                        log: own + returns.stayed + Math.log(rest.putRight),
                        known: difference(pooled(from.known, then.known), to.known),
                    },
                    anew,
                );
                held.push({ log: own + stays.stayed + Math.log(1 - rest.moved), known: withNext }, anew);
            }
        }
    }
    const belief = settled(moved);
    const mean = moments(belief);
    const [all, still] = [new LogSum(), new LogSum()];
    for (const { log } of moved) all.add(log, 1);
    for (const { log, known } of held) still.add(log + logOf(partOf(known, mean, compared), stay, none), 1);
    return { moved: belief, mean, heldLog: still.log - all.log };
}

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
