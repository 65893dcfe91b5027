import { plateOffset } from '../settings/plateSettings.js';
import type { Plate } from '../settings/problem.js';
import type { Row, Value } from '../tables/batch.js';
import {
    type CarCheck,
    type Corner,
    earlier,
    type Fit,
    later,
    meanOf,
    meanVariance,
    micro,
    moveBetween,
    moveVariance,
    type Place,
    readVariances,
    residual,
    type State,
    shareOf,
    spreadsIn,
    stateOf,
    sumOf,
} from './corner.js';
import { logMixed, misfit, probabilities, varianceGain } from './densities.js';
import type { Finding } from './finding.js';

/** Prior probabilities of what may be wrong of a plate; what is left is the record as written. */
const OTHER_INDEX = 0.02;
const OTHER_HAND = 0.005;
const BOTH = 0.005;
const OTHER_SIGN = 0.006;
const AS_WRITTEN = 1 - OTHER_INDEX - OTHER_HAND - BOTH - OTHER_SIGN;

const isOriginal = ({ kit, place }: State) => kit === null && place[0] === 0 && place[1] === 0;

/** Means of the angles of a visit on the original mount, and their variances. */
function originalsOf({ deg, states, variances }: Corner) {
    const original = deg.map((x, i) => (isOriginal(states[stateOf[i]!]!) ? x : Number.NaN));
    return [0, 1, 2].map((angle) => ({
        mean: meanOf(original, angle),
        variance: meanVariance(original, variances, angle),
    }));
}
type Originals = ReturnType<typeof originalsOf>;

/** Sums of whole millionths, exact in any order, over all visits. */
function totalsOf(all: readonly Originals[]) {
    return [0, 1, 2].map((angle) => {
        const there = all.map((one) => one[angle]!).filter(({ mean }) => !Number.isNaN(mean));
        return {
            count: there.length,
            sum: there.reduce((sum, { mean }) => sum + micro(mean), 0),
            varianceSum: there.reduce((sum, { variance }) => sum + micro(variance), 0),
        };
    });
}

/** What the other visits read on the original mount, by angle: a mean over them, and the variance of this visit about it. */
function elsewhere(totals: ReturnType<typeof totalsOf>, own: Originals, visitVariances: ArrayLike<number>) {
    return totals.map((total, angle) => {
        const { mean, variance } = own[angle]!;
        const isThere = !Number.isNaN(mean);
        const count = total.count - Number(isThere);
        const between = visitVariances[angle]!;
        const read = (total.varianceSum - (isThere ? micro(variance) : 0)) / count / 1e6;
        return {
            deg: (total.sum - (isThere ? micro(mean) : 0)) / count / 1e6,
            variance: (read + between) / count + between,
        };
    });
}
type Elsewhere = ReturnType<typeof elsewhere>;

/** A place as index, hand and marks say it; one that was measured directly does not follow from them. */
function placeBy(plate: Plate | undefined, corner: string, state: State) {
    const { index, hand, mark_1, mark_2, place } = state;
    if (plate === undefined || !(index <= plate.index_count)) return null;
    const otherHand = hand !== (corner === 'FL' ? 'left' : 'right');
    const at = plateOffset(plate, index, otherHand, mark_1, mark_2 || 0);
    return at !== null && Math.abs(at.out_mm - place[0]) < 1e-3 ? { plate, index, otherHand } : null;
}

/** The states of a corner that share the placement in question, the last of them, and what the other visits read. */
interface Question {
    corner: Corner;
    tried: readonly boolean[];
    last: number;
    others: Elsewhere;
    /** Variances of the comparisons without what the places bring in. */
    least: readonly number[];
}

const residuals = new Float64Array(12);
const variances = new Float64Array(12);

/** How the angles fit the places: changes between states one of which is tried, and the last one against other visits. Read before the next one. */
function fitOf({ corner, tried, last, others, least }: Question, places: readonly Place[]): Fit {
    const { slopes, deg } = corner;
    residuals.fill(Number.NaN);
    for (let pair = 0; pair < 4; pair++) {
        const from = pair < 3 ? earlier[pair]! : last;
        const to = pair < 3 ? later[pair]! : last;
        if (!tried[from] && !tried[to]) continue;
        const [, , oo, oa, aa] = places[last]!;
        // Other visits are on the original mount.
        const move = moveBetween(pair < 3 ? places[from]! : [0, 0, oo, oa, aa], places[to]!);
        for (let angle = 0; angle < 3; angle++) {
            const from_deg = pair < 3 ? deg[3 * from + angle]! : others[angle]!.deg;
            const slope = slopes[angle]!;
            residuals[3 * pair + angle] = residual(deg[3 * to + angle]! - from_deg, slope, move);
            variances[3 * pair + angle] = least[3 * pair + angle]! + moveVariance(slope, move);
        }
    }
    return { residuals, variances, share: shareOf(residuals) };
}

/** How much likelier, at most, the record gets in other places, where the variances may be as low as `least`. */
function gainOf(fit: Fit, least: readonly number[]): number {
    const { residuals, variances, share } = fit;
    let sum = sumOf(misfit, fit);
    for (let i = 0; i < least.length; i++)
        sum += (i < 9 ? share : 1) * varianceGain(residuals[i]!, variances[i]!, least[i]!);
    return sum;
}

/** Every bolt position of the two hands of a pair, and the marks as written with their signs reversed. */
function candidatesOf({ plate, index, otherHand }: NonNullable<ReturnType<typeof placeBy>>) {
    const candidates = [{ index, otherHand, sign: -1, prior: OTHER_SIGN }];
    for (let place = 1; place <= plate.index_count; place++) {
        for (const hand of [true, false]) {
            const prior =
                place === index
                    ? hand === otherHand
                        ? AS_WRITTEN
                        : OTHER_HAND
                    : (hand === otherHand ? OTHER_INDEX : BOTH) / (plate.index_count - 1);
            candidates.push({ index: place, otherHand: hand, sign: 1, prior });
        }
    }
    return candidates;
}

function findingOf(
    corner: Corner,
    others: Elsewhere,
    mount: readonly number[],
    plateOf: (state: State) => Plate | undefined,
): Finding | null {
    const placed = corner.states.map((state) => placeBy(plateOf(state), corner.corner, state));
    const last = placed.findLastIndex((one) => one !== null);
    const written = placed[last];
    if (written === undefined || written === null) return null;
    const { plate, index, otherHand } = written;
    const tried = placed.map(
        (one) => one?.plate === plate && one.index === index && one.otherHand === otherHand,
    );
    const least = readVariances(corner, mount);
    for (let angle = 0; angle < 3; angle++)
        least.push(corner.variances[3 * last + angle]! + others[angle]!.variance + mount[angle]!);
    const question = { corner, tried, last, others, least };
    const places = corner.states.map(({ place }) => place);
    if (gainOf(fitOf(question, places), least) < Math.log(AS_WRITTEN / (1 - AS_WRITTEN))) return null;
    const candidates = candidatesOf(written);
    const p = probabilities(
        candidates.map((candidate) => {
            const moved = corner.states.map(({ mark_1, mark_2, place }, at): Place => {
                if (!tried[at]) return place;
                const { sign } = candidate;
                const { out_mm, aft_mm } = plateOffset(
                    plate,
                    candidate.index,
                    candidate.otherHand,
                    sign * mark_1,
                    sign * (mark_2 || 0),
                )!;
                return [out_mm, aft_mm, place[2], place[3], place[4]];
            });
            return Math.log(candidate.prior) + sumOf(logMixed, fitOf(question, moved));
        }),
    );
    const pMistake = 1 - p[candidates.findIndex(({ prior }) => prior === AS_WRITTEN)]!;
    if (pMistake < 0.5) return null;
    const handOf = (other: boolean) => ((corner.corner === 'FL') === other ? 'right' : 'left');
    const judged = candidates.map((candidate, at) => ({
        ...candidate,
        p: p[at]!,
        hand: handOf(candidate.otherHand),
        asWritten: candidate.prior === AS_WRITTEN,
    }));
    const best = Math.max(...judged.filter(({ asWritten }) => !asWritten).map((one) => one.p));
    const likely = judged
        .filter((one) => !one.asWritten && one.p > 0.2 * best)
        // What the angles cannot tell apart differs in the last digits.
        .sort(
            (a, b) =>
                micro(b.p) - micro(a.p) || b.sign - a.sign || a.index - b.index || (a.hand < b.hand ? -1 : 1),
        );
    const words = likely.map((one) =>
        one.sign < 0 ? 'marks of the other sign' : `index ${one.index} with the ${one.hand} plate`,
    );
    const which = words.length > 1 ? ' (which one cannot be told)' : '';
    const { file, line } = corner.states[last]!;
    return {
        chassis: corner.chassis,
        vehicle: corner.vehicle,
        corner: corner.corner,
        visit: corner.visit,
        finding: `the angles fit ${words.join(' or ')}${which}; index ${index} with the ${handOf(otherHand)} plate is written`,
        p_mistake: pMistake,
        source_file: file,
        source_line: line,
    };
}

/** The plate of a kit: that of the chassis goes before that of any. */
function platesBy(rows: readonly Row[]) {
    const plates = new Map<Value, Map<Value, Plate>>();
    for (const row of rows) {
        const ofKit = plates.get(row.kit!) ?? new Map<Value, Plate>();
        plates.set(row.kit!, ofKit.set(row.chassis!, row as unknown as Plate));
    }
    return (kit: string | null, chassis: string) => {
        const ofKit = plates.get(kit);
        return ofKit?.get(chassis) ?? ofKit?.get(null);
    };
}

/** Plates whose angles fit another bolt position or the other hand. */
export const wrongPlacement: CarCheck = ({ plates, check_spreads }) => {
    const plateOf = platesBy(plates!);
    const { visit, mount } = spreadsIn(check_spreads!);
    return function* (car) {
        for (const side of ['FL', 'FR']) {
            const visits = car.filter(({ corner }) => corner === side);
            const originals = visits.map(originalsOf);
            const totals = totalsOf(originals);
            for (const [at, corner] of visits.entries()) {
                const others = elsewhere(totals, originals[at]!, visit);
                const found = findingOf(corner, others, mount, ({ kit }) => plateOf(kit, corner.chassis));
                if (found !== null) yield found;
            }
        }
    };
};
