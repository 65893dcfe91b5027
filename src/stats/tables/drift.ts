import { categories } from '../drift/categories.js';
import { type CauseName, causes } from '../drift/causes/index.js';
import { type Batch, type Batches, orNull, type Row, type TableFunction, type Value } from './batch.js';

type List = readonly number[];

/** Odds of the categories, in the order of lists of likelihoods, and those of each cause on the car with each slip. */
export class Odds {
    readonly corner: List;
    /** That nothing happened to the car. */
    readonly none: number;
    readonly car: List;
    readonly slips: List;

    /** `rows` of table drift_odds, of sessions; `moves`: the probability that a corner moves where it is no session. */
    constructor(rows: readonly Row[], moves?: number) {
        const [corner, car] = ['corner', 'car'].map((level) =>
            rows
                .filter((row) => row.level === level)
                .sort((a, b) => (a.place as number) - (b.place as number))
                .map(({ share }) => share as number),
        );
        const [held] = corner as [number];
        const times = moves === undefined ? 1 : moves / (1 - held);
        this.corner = corner!.map((share, place) => (place === 0 ? 1 - times * (1 - held) : times * share));
        this.none = car![0]!;
        this.car = car!.slice(1);
        this.slips = this.car.flatMap((share) =>
            categories.slips.map((place) => share * this.corner[place]!),
        );
    }
}

function product(a: List, b: List): number {
    let sum = 0;
    for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
    return sum;
}

const placeOf = (cause: string) => causes.findIndex(({ name }) => name === cause);
const cornerPlaces = categories.corner.map(({ cause }) => placeOf(cause));
const carPlaces = categories.car.map(({ cause }) => placeOf(cause));
const heldPlace = placeOf('held');
/** Places of causes by class, and by name. */
const [ofPlate, ofBent] = ['plate_moved', 'bent'].map((own) =>
    causes.flatMap(({ class: of, level }, place) => (of === own && level === 'corner' ? [place] : [])),
) as [number[], number[]];
const inOrder = causes.map((_, place) => place).sort((a, b) => (causes[a]!.name < causes[b]!.name ? -1 : 1));

/** The fronts of one disturbance, one or two: rows of columns, which share their first values. */
export class Fronts {
    readonly count: number;
    readonly #columns: ReadonlyMap<string, ArrayLike<unknown>>;
    readonly #from: number;

    constructor(columns: ReadonlyMap<string, ArrayLike<unknown>>, from: number, count: number) {
        this.count = count;
        this.#columns = columns;
        this.#from = from;
    }

    get names(): string[] {
        return [...this.#columns.keys()];
    }

    value(name: string, front: number): Value {
        return orNull(this.#columns.get(name)![this.#from + front]);
    }

    list(name: string, front: number): List | null {
        return this.value(name, front) as List | null;
    }
}

/** Probabilities of each cause, by its place, of the fronts of a session. Null where it cannot be compared. */
export function posteriors(fronts: Fronts, odds: Odds): (Float64Array | null)[] {
    const found: (Float64Array | null)[] = [];
    const told: number[] = [];
    const sums: number[] = [];
    for (let j = 0; j < fronts.count; j++) {
        found.push(null);
        const alone = fronts.list('alone', j);
        if (alone === null) continue;
        told.push(j);
        sums.push(product(alone, odds.corner));
    }
    if (told.length === 0) return found;
    const [first] = told as [number];
    const none = sums.reduce(
        (product, sum) => product * sum,
        odds.none * (fronts.value('none', first) as number),
    );
    const held = odds.corner[0]!;
    // Of the front that held beside one that slipped.
    const beside = told.length === 2 ? held : 1;
    const bothHeld = fronts.list('both_held', first)!;
    const slips = told.map((j) => fronts.list('slips', j)!);
    const slipped = slips.reduce((sum, own) => sum + product(own, odds.slips), 0);
    const total = none + beside * (held * product(bothHeld, odds.car) + slipped);
    const count = categories.slips.length;
    for (const [k, j] of told.entries()) {
        const own = new Float64Array(causes.length);
        const alone = fronts.list('alone', j)!;
        for (let c = 0; c < alone.length; c++)
            own[cornerPlaces[c]!]! += ((none / sums[k]!) * alone[c]! * odds.corner[c]!) / total;
        const [ofSlips, others] = [slips[k]!, slips[1 - k]];
        for (let i = 0; i < ofSlips.length; i++) {
            const share = (odds.slips[i]! * beside) / total;
            own[cornerPlaces[categories.slips[i % count]!]!]! += ofSlips[i]! * share;
            own[carPlaces[Math.floor(i / count)]!]! += (others?.[i] ?? 0) * share;
        }
        for (let c = 0; c < bothHeld.length; c++)
            own[carPlaces[c]!]! += (held * bothHeld[c]! * odds.car[c]! * beside) / total;
        found[j] = own;
    }
    return found;
}

export interface Rules {
    min_moved: number;
    min_class: number;
    min_held: number;
    false_discovery_rate: number;
}

/** Probabilities of a front over a session. */
export interface Judged {
    found: Float64Array;
    held: number;
    plateMoved: number;
    bent: number;
    other: number;
    /** Of the likeliest class but held, and that naming it, or that it held, is wrong. */
    likeliest: number;
    wrong: number;
    /** Something moved, and its class is sure by itself, from more than camber alone. */
    mayBeNamed: boolean;
}

export function judged(
    fronts: Fronts,
    front: number,
    found: Float64Array | null,
    rules: Rules,
): Judged | null {
    if (found === null) return null;
    const sumOf = (places: readonly number[]) => places.reduce((sum, place) => sum + found[place]!, 0);
    const held = found[heldPlace]!;
    // Without a plate there is only the tower.
    const plateMoved = fronts.value('kit', front) === null ? 0 : sumOf(ofPlate);
    const bent = sumOf(ofBent);
    const rest = 1 - held - plateMoved - bent;
    const likeliest = Math.max(plateMoved, bent, rest);
    const isMoved = 1 - held >= rules.min_moved;
    return {
        found,
        held,
        plateMoved,
        bent,
        other: Math.max(rest, 0),
        likeliest,
        wrong: isMoved ? 1 - likeliest : 1 - held,
        mayBeNamed:
            isMoved &&
            likeliest >= rules.min_class * (1 - held) &&
            besideCamber.some((name) => fronts.value(name, front) !== null),
    };
}

/** Those rows of a batch by themselves. */
const rowsBetween = ({ names, columns }: Batch, from: number, to: number): Batch => ({
    names,
    columns: columns.map((column) => Array.prototype.slice.call(column, from, to)),
});

const byName = ({ names, columns }: Batch) => new Map(names.map((name, i) => [name, columns[i]!]));

const joined = (first: Batch, second: Batch): Batch => ({
    names: first.names,
    columns: first.columns.map((column, i) => [...Array.from(column), ...Array.from(second.columns[i]!)]),
});

/** The fronts of each disturbance, of rows sorted by vehicle, visit and phase. */
export async function* frontsTogether(batches: AsyncIterable<Batch>): AsyncIterable<Fronts> {
    let left: Batch | null = null;
    for await (const batch of batches) {
        const places = ['vehicle', 'visit', 'phase'].map((name) => batch.names.indexOf(name));
        const count = batch.columns[0]!.length;
        const isOne = (some: Batch, at: number, row: number) =>
            places.every((place) => some.columns[place]![at] === batch.columns[place]![row]);
        const columns = byName(batch);
        let from = 0;
        if (left !== null) {
            while (from < count && isOne(left, 0, from)) from++;
            if (from > 0) left = joined(left, rowsBetween(batch, 0, from));
            if (from === count) continue;
            yield new Fronts(byName(left), 0, left.columns[0]!.length);
        }
        for (let row = from + 1; row < count; row++) {
            if (isOne(batch, from, row)) continue;
            yield new Fronts(columns, from, row - from);
            from = row;
        }
        left = rowsBetween(batch, from, count);
    }
    if (left !== null) yield new Fronts(byName(left), 0, left.columns[0]!.length);
}

const besideCamber = ['caster_judged_deg', 'toe_judged_deg', 'sai_judged_deg'];
const told = ['vehicle', 'visit', 'phase', 'kit', ...besideCamber, 'none', 'alone', 'both_held', 'slips'];

/** Least probability of a class that is named: the mean probability that one is wrong, from the surest down, stays within the rate. */
async function leastNamed(batches: Batches, odds: Odds, rules: Rules): Promise<number> {
    const named: { likeliest: number; wrong: number }[] = [];
    for await (const fronts of frontsTogether(batches.only!(told))) {
        for (const [j, own] of posteriors(fronts, odds).entries()) {
            const found = judged(fronts, j, own, rules);
            if (found?.mayBeNamed) named.push({ likeliest: found.likeliest, wrong: found.wrong });
        }
    }
    named.sort((a, b) => b.likeliest - a.likeliest);
    let [sum, least] = [0, Number.POSITIVE_INFINITY];
    for (const [i, { wrong, likeliest }] of named.entries()) {
        sum += wrong;
        // Equal ones together.
        if (named[i + 1]?.likeliest !== likeliest && sum / (i + 1) <= rules.false_discovery_rate)
            least = likeliest;
    }
    return least;
}

/** The class of what moved, where it may be named. */
export const classOf = ({ plateMoved, bent, likeliest, mayBeNamed }: Judged) =>
    !mayBeNamed
        ? 'unclear'
        : likeliest === plateMoved
          ? 'plate_moved'
          : likeliest === bent
            ? 'bent'
            : 'other';

const verdictOf = (found: Judged, least: number, rules: Rules) =>
    found.mayBeNamed && found.likeliest >= least
        ? classOf(found)
        : found.held >= rules.min_held
          ? 'held'
          : 'unclear';

/** The same without that nothing moved. */
export const withoutHeld = (found: Float64Array) =>
    found.map((probability, place) => (place === heldPlace ? 0 : probability));

/** The likeliest cause with its probability, and the next one; of equal ones the first by name. */
export function ranked(found: Float64Array | undefined): {
    cause: CauseName | null;
    p_cause: number | null;
    next_cause: CauseName | null;
} {
    if (found === undefined) return { cause: null, p_cause: null, next_cause: null };
    let [first, next] = [-1, -1];
    for (const place of inOrder) {
        if (first < 0 || found[place]! > found[first]!) [first, next] = [place, first];
        else if (next < 0 || found[place]! > found[next]!) next = place;
    }
    return { cause: causes[first]!.name, p_cause: found[first]!, next_cause: causes[next]!.name };
}

const notCopied = ['none', 'alone', 'both_held', 'slips', 'missing', 'phase'];
const probabilities = causes.map(({ name }: { name: CauseName }) => `p_${name}`);

/** What each session did to a front corner, and the likely cause. */
export const drift: TableFunction = async function* (batches, whole) {
    const odds = new Odds(whole.drift_odds!);
    const rules = whole.drift_rules![0] as unknown as Rules;
    const least = await leastNamed(batches, odds, rules);
    let copied: string[] | undefined;
    for await (const fronts of frontsTogether(batches)) {
        copied ??= fronts.names.filter((name) => !notCopied.includes(name));
        const all = posteriors(fronts, odds);
        for (let j = 0; j < fronts.count; j++) {
            const found = judged(fronts, j, all[j]!, rules);
            const cells: Record<string, Value> = {
                p_held: found?.held ?? null,
                p_plate_moved: found?.plateMoved ?? null,
                p_bent: found?.bent ?? null,
                p_other: found?.other ?? null,
                verdict: found === null ? 'unclear' : verdictOf(found, least, rules),
                ...ranked(found?.found),
                has_caster: fronts.value('caster_judged_deg', j) !== null,
                has_toe: fronts.value('toe_judged_deg', j) !== null,
                has_sai: fronts.value('sai_judged_deg', j) !== null,
                p_wrong: found?.wrong ?? null,
                reason: fronts.value('missing', j),
            };
            for (const name of copied) cells[name] = fronts.value(name, j);
            for (const [place, name] of probabilities.entries()) cells[name] = found?.found[place] ?? null;
            if (cells.freedom === 'plane') cells.p_mount_moved = null;
            yield cells;
        }
    }
};
