import { categories } from '../drift/categories.js';
import { type CauseName, causes } from '../drift/causes/index.js';
import { type Batch, type Row, rowsIn, type TableFunction, type Value } from './batch.js';

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
const byName = causes.map((_, place) => place).sort((a, b) => (causes[a]!.name < causes[b]!.name ? -1 : 1));

/** Probabilities of each cause, by its place, of the fronts of a session. Null where it cannot be compared. */
export function posteriors(fronts: readonly Row[], odds: Odds): (Float64Array | null)[] {
    const told = fronts.filter(({ alone }) => alone !== null);
    if (told.length === 0) return fronts.map(() => null);
    const sums = told.map(({ alone }) => product(alone as List, odds.corner));
    const none = sums.reduce((product, sum) => product * sum, odds.none * (told[0]!.none as number));
    const held = odds.corner[0]!;
    // Of the front that held beside one that slipped.
    const beside = told.length === 2 ? held : 1;
    const bothHeld = told[0]!.both_held as List;
    const slipped = told.reduce((sum, { slips }) => sum + product(slips as List, odds.slips), 0);
    const total = none + beside * (held * product(bothHeld, odds.car) + slipped);
    return fronts.map((front) => {
        const j = told.indexOf(front);
        if (j < 0) return null;
        const found = new Float64Array(causes.length);
        const [own, slips] = [front.alone as List, front.slips as List];
        const others = told[1 - j]?.slips as List | undefined;
        for (let k = 0; k < own.length; k++)
            found[cornerPlaces[k]!]! += ((none / sums[j]!) * own[k]! * odds.corner[k]!) / total;
        const count = categories.slips.length;
        for (let i = 0; i < slips.length; i++) {
            const share = (odds.slips[i]! * beside) / total;
            found[cornerPlaces[categories.slips[i % count]!]!]! += slips[i]! * share;
            found[carPlaces[Math.floor(i / count)]!]! += (others?.[i] ?? 0) * share;
        }
        for (let k = 0; k < bothHeld.length; k++)
            found[carPlaces[k]!]! += (held * bothHeld[k]! * odds.car[k]! * beside) / total;
        return found;
    });
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

export function judged(row: Row, found: Float64Array | null, rules: Rules): Judged | null {
    if (found === null) return null;
    const sumOf = (places: readonly number[]) => places.reduce((sum, place) => sum + found[place]!, 0);
    const held = found[heldPlace]!;
    // Without a plate there is only the tower.
    const plateMoved = row.kit === null ? 0 : sumOf(ofPlate);
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
            (row.caster_judged_deg !== null || row.toe_judged_deg !== null || row.sai_judged_deg !== null),
    };
}

/** The fronts of each disturbance, one or two, of rows sorted by vehicle, visit and phase. */
export async function* frontsTogether(batches: AsyncIterable<Batch>): AsyncIterable<Row[]> {
    let session: Row[] = [];
    for await (const batch of batches) {
        for (const row of rowsIn(batch)) {
            const [first] = session;
            if (first?.visit !== row.visit || first?.vehicle !== row.vehicle || first?.phase !== row.phase) {
                if (session.length > 0) yield session;
                session = [];
            }
            session.push(row);
        }
    }
    if (session.length > 0) yield session;
}

/** Least probability of a class that is named: the mean probability that one is wrong, from the surest down, stays within the rate. */
async function leastNamed(batches: AsyncIterable<Batch>, odds: Odds, rules: Rules): Promise<number> {
    const named: Judged[] = [];
    for await (const fronts of frontsTogether(batches)) {
        for (const [j, own] of posteriors(fronts, odds).entries()) {
            const found = judged(fronts[j]!, own, rules);
            if (found?.mayBeNamed) named.push(found);
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
    for (const place of byName) {
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
        copied ??= Object.keys(fronts[0]!).filter((name) => !notCopied.includes(name));
        const all = posteriors(fronts, odds);
        const made: Record<string, Value>[] = [];
        for (const [j, row] of fronts.entries()) {
            const found = judged(row, all[j]!, rules);
            const cells: Record<string, Value> = {
                p_held: found?.held ?? null,
                p_plate_moved: found?.plateMoved ?? null,
                p_bent: found?.bent ?? null,
                p_other: found?.other ?? null,
                verdict: found === null ? 'unclear' : verdictOf(found, least, rules),
                ...ranked(found?.found),
                has_caster: row.caster_judged_deg !== null,
                has_toe: row.toe_judged_deg !== null,
                has_sai: row.sai_judged_deg !== null,
                p_wrong: found?.wrong ?? null,
                reason: row.missing!,
            };
            for (const name of copied) cells[name] = row[name]!;
            for (const [place, name] of probabilities.entries()) cells[name] = found?.found[place] ?? null;
            if (row.freedom === 'plane') cells.p_mount_moved = null;
            made.push(cells);
        }
        yield made;
    }
};
