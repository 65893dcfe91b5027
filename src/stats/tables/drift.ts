import { categories } from '../drift/categories.js';
import { type CauseName, causes, cornerCauses } from '../drift/causes/index.js';
import { type Chassis, chassisByName } from '../drift/chassis.js';
import { slipOf } from '../drift/slip.js';
import { type Batch, type Row, rowsOf, type TableFunction, type Value } from './batch.js';
import { Corners } from './driftSessions.js';

type List = readonly number[];

/** Odds of the categories, in the order of lists of likelihoods, and those of each cause on the car with each slip. */
class Odds {
    readonly corner: List;
    /** That nothing happened to the car first. */
    readonly car: List;
    readonly slips: List;

    constructor(rows: readonly Row[]) {
        const [corner, car] = ['corner', 'car'].map((level) =>
            rows
                .filter((row) => row.level === level)
                .sort((a, b) => (a.place as number) - (b.place as number))
                .map(({ share }) => share as number),
        );
        this.corner = corner!;
        this.car = car!;
        this.slips = this.car
            .slice(1)
            .flatMap((share) => categories.slips.map((place) => share * this.corner[place]!));
    }
}

function product(a: List, b: List): number {
    let sum = 0;
    for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
    return sum;
}

/** Probability of each cause, by name, of the front whose likelihoods are `own`. Null where it cannot be compared. */
function posteriors(row: Row, odds: Odds): Map<CauseName, number> | null {
    const isLeft = row.corner === 'FL';
    const [left, right] = [row.left_alone as List | null, row.right_alone as List | null];
    const own = isLeft ? left : right;
    if (own === null || row.missing !== null) return null;
    const [ownSlips, otherSlips] = isLeft
        ? [row.left_slips as List | null, row.right_slips as List | null]
        : [row.right_slips as List | null, row.left_slips as List | null];
    const sumOf = (list: List | null) => (list === null ? 1 : product(list, odds.corner));
    const none = odds.car[0]! * (row.none as number) * sumOf(left) * sumOf(right);
    const held = odds.corner[0]!;
    // Of the front that held beside one that slipped.
    const beside = left !== null && right !== null ? held : 1;
    const bothHeld = row.both_held as List;
    const slipsOf = (list: List | null) => (list === null ? 0 : product(list, odds.slips));
    const total =
        none +
        beside *
            (held * product(bothHeld, odds.car.slice(1)) +
                slipsOf(row.left_slips as List | null) +
                slipsOf(row.right_slips as List | null));
    const found = new Map<CauseName, number>();
    const add = (name: string, p: number) =>
        found.set(name as CauseName, (found.get(name as CauseName) ?? 0) + p);
    const ownSum = sumOf(own);
    for (const [place, { cause }] of categories.corner.entries())
        add(cause, ((none / ownSum) * own[place]! * odds.corner[place]!) / total);
    for (const [i, share] of odds.slips.entries()) {
        const slip = categories.slips[i % categories.slips.length]!;
        const car = categories.car[Math.floor(i / categories.slips.length)]!;
        add(categories.corner[slip]!.cause, ((ownSlips?.[i] ?? 0) * share * beside) / total);
        add(car.cause, ((otherSlips?.[i] ?? 0) * share * beside) / total);
    }
    for (const [place, { cause }] of categories.car.entries())
        add(cause, (held * bothHeld[place]! * odds.car[place + 1]! * beside) / total);
    return found;
}

interface Rules {
    min_moved: number;
    min_class: number;
    min_held: number;
    false_discovery_rate: number;
}

/** Probabilities of a front over a session. */
interface Judged {
    found: ReadonlyMap<CauseName, number>;
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

function judged(row: Row, odds: Odds, rules: Rules): Judged | null {
    const found = posteriors(row, odds);
    if (found === null) return null;
    const classSum = (name: string) =>
        cornerCauses.reduce((sum, cause) => sum + (cause.class === name ? found.get(cause.name)! : 0), 0);
    const held = found.get('held')!;
    // Without a plate there is only the tower.
    const plateMoved = row.kit === null ? 0 : classSum('plate_moved');
    const bent = classSum('bent');
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
            (row.caster_deg !== null || row.toe_deg !== null || row.sai_deg !== null),
    };
}

/** Least probability of a class that is named: the mean probability that one is wrong, from the surest down, stays within the rate. */
async function leastNamed(batches: AsyncIterable<Batch>, odds: Odds, rules: Rules): Promise<number> {
    const named: Judged[] = [];
    for await (const row of rowsOf(batches)) {
        const found = judged(row, odds, rules);
        if (found?.mayBeNamed) named.push(found);
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

function verdictOf(
    { held, plateMoved, bent, likeliest, mayBeNamed }: Judged,
    least: number,
    rules: Rules,
): string {
    if (mayBeNamed && likeliest >= least)
        return likeliest === plateMoved ? 'plate_moved' : likeliest === bent ? 'bent' : 'other';
    return held >= rules.min_held ? 'held' : 'unclear';
}

const times = (a: number | null, b: number | null) => (a === null || b === null ? null : a * b);
const plus = (a: number | null, b: number | null) => (a === null || b === null ? null : a + b);
const root = (variance: Value) => (variance === null ? null : Math.sqrt(variance as number));

/** How far the bearing slipped, if it did; empty where it cannot slide or nothing tells. */
function slipCells(row: Row, corners: Corners, place: number, chassis: ReadonlyMap<string, Chassis>) {
    const none = {
        slip_out_mm: null,
        slip_out_std_error_mm: null,
        slip_aft_mm: null,
        slip_aft_std_error_mm: null,
        slip_cov_mm2: null,
        mark_1_back: null,
        mark_2_back: null,
    };
    if (row.missing !== null || row.freedom === 'none') return none;
    const front = corners.front(place, chassis);
    const { sizes, variances, covariance } = slipOf(front);
    const [[first, second], [firstVariance, secondVariance]] = [sizes, variances];
    const [out, aft] = front.slot ?? [null, null];
    const marks = (mm: number | null) =>
        mm === null || row.pitch_mm === null ? null : -mm / (row.pitch_mm as number);
    if (front.freedom === 'slot') {
        return {
            slip_out_mm: times(first, out),
            slip_out_std_error_mm: times(root(firstVariance), out === null ? null : Math.abs(out)),
            slip_aft_mm: times(first, aft),
            slip_aft_std_error_mm: times(root(firstVariance), aft === null ? null : Math.abs(aft)),
            slip_cov_mm2: times(times(firstVariance, out), aft),
            mark_1_back: marks(first),
            mark_2_back: null,
        };
    }
    // The second scale of a plate of the other side's hand points the other way.
    const mirror =
        row.plate_hand === null ? null : (row.plate_hand === 'left') === (front.side === 1) ? 1 : -1;
    return {
        slip_out_mm: first,
        slip_out_std_error_mm: root(firstVariance),
        slip_aft_mm: second,
        slip_aft_std_error_mm: root(secondVariance),
        slip_cov_mm2: covariance,
        mark_1_back: marks(plus(times(first, out), times(second, aft))),
        mark_2_back: marks(times(plus(times(second, out), times(times(first, aft), -1)), mirror)),
    };
}

/** The likeliest cause with its probability, and the next one; of equal ones the first by name. */
function ranked(found: ReadonlyMap<CauseName, number> | undefined) {
    if (found === undefined) return { cause: null, p_cause: null, next_cause: null };
    const order = [...found].sort(([a, p], [b, q]) => q - p || (a < b ? -1 : 1));
    return { cause: order[0]![0], p_cause: order[0]![1], next_cause: order[1]![0] };
}

const copied = [
    'vehicle',
    'chassis',
    'corner',
    'visit',
    'session',
    'sessions',
    'after_visit',
    'measured_ts',
    'ordered_ts',
    'kit',
    'plate_hand',
    'plate_index',
    'freedom',
    'has_rears',
    'has_other_front',
] as const;
const angles = ['camber', 'caster', 'toe', 'sai'] as const;

/** What each session did to a front corner, and the likely cause. */
export const drift: TableFunction = async function* (batches, whole) {
    const odds = new Odds(whole.drift_odds!);
    const rules = whole.drift_rules![0] as unknown as Rules;
    const chassis = chassisByName(whole.sensitivities!);
    const least = await leastNamed(batches, odds, rules);
    for await (const batch of batches) {
        const corners = new Corners(batch);
        let place = 0;
        for await (const row of rowsOf([batch])) {
            const found = judged(row, odds, rules);
            const cells: Record<string, Value> = {};
            for (const name of copied) cells[name] = row[name]!;
            for (const angle of angles) {
                cells[`${angle}_change_deg`] = row[`${angle}_read_deg`]!;
                cells[`${angle}_judged_deg`] = row[`${angle}_deg`]!;
                cells[`${angle}_std_error_deg`] = root(row[`${angle}_var_deg2`]!);
            }
            for (const { name } of causes) cells[`p_${name}`] = found?.found.get(name) ?? null;
            if (row.freedom === 'plane') cells.p_mount_moved = null;
            yield {
                ...cells,
                camber_equal_toe_deg: row.equal_toe === true ? row.camber_deg! : null,
                ...slipCells(row, corners, place, chassis),
                p_held: found?.held ?? null,
                p_plate_moved: found?.plateMoved ?? null,
                p_bent: found?.bent ?? null,
                p_other: found?.other ?? null,
                verdict: found === null ? 'unclear' : verdictOf(found, least, rules),
                ...ranked(found?.found),
                has_caster: row.caster_deg !== null,
                has_toe: row.toe_deg !== null,
                has_sai: row.sai_deg !== null,
                p_wrong: found?.wrong ?? null,
                reason: row.missing!,
            };
            place++;
        }
    }
};
