import { categories } from './categories.js';
import type { Likelihoods } from './session.js';

/** By category of a corner, the first of which is that it held, and by category of the car, the first of which is that nothing happened. */
export interface Shares {
    corner: readonly number[];
    car: readonly number[];
}

/** Odds before the data: shares, and the number of sessions that they count as. */
export interface Prior {
    share: number;
    count: number;
}

export interface Odds {
    shares: Shares;
    /** Expected number of sessions with each category. */
    expected: Shares;
}

const { slips } = categories;
const [corners, cars] = [categories.corner.length, categories.car.length];
/** Where the lists of a session stand in one array: of each front, of causes on the car, of these with slips of each front. */
const ALONE = 2;
const HELD = ALONE + 2 * corners;
const SLIPS = HELD + cars;
const pairs = cars * slips.length;

/** The likelihoods of a session as one array: no cause on the car, the number of fronts, and the lists. */
export function likelihoodsIn({ none, alone, held, slips: slipped }: Likelihoods): Float64Array {
    const made = new Float64Array(SLIPS + 2 * pairs);
    made[0] = none;
    made[1] = alone.length;
    for (let j = 0; j < alone.length; j++) {
        made.set(alone[j]!, ALONE + j * corners);
        made.set(slipped[j]!, SLIPS + j * pairs);
    }
    made.set(held, HELD);
    return made;
}

/** Shares of each cause on the car with each slip, in the order of {@link Likelihoods}. */
const slipShares = ({ corner, car }: Shares) =>
    car.slice(1).flatMap((share) => slips.map((place) => share * corner[place]!));

function product(a: Float64Array, from: number, b: Float64Array): number {
    let sum = 0;
    for (let i = 0; i < b.length; i++) sum += a[from + i]! * b[i]!;
    return sum;
}

/** Adds `weight` times the values of `own` from there on to `sums`. */
function addTo(sums: Float64Array, own: Float64Array, from: number, weight: number): void {
    for (let i = 0; i < sums.length; i++) sums[i]! += own[from + i]! * weight;
}

/** Expected number of sessions with each category at the odds `shares`, and the number of fronts. */
function expected(sessions: readonly Float64Array[], shares: Shares) {
    const ofSlips = Float64Array.from(slipShares(shares));
    const ofCar = Float64Array.from(shares.car.slice(1));
    const ofCorner = Float64Array.from(shares.corner);
    const [nothing, stillShare] = [shares.car[0]!, shares.corner[0]!];
    const alone = new Float64Array(corners);
    const [held, slipped] = [new Float64Array(cars), new Float64Array(pairs)];
    const sums = [1, 1];
    let [none, still, frontCount] = [0, 0, 0];
    for (const own of sessions) {
        const fronts = own[1]!;
        let noneWeight = nothing * own[0]!;
        // Of the front that held beside one that slipped.
        const beside = fronts === 2 ? stillShare : 1;
        let slipWeight = 0;
        for (let j = 0; j < fronts; j++) {
            sums[j] = product(own, ALONE + j * corners, ofCorner);
            noneWeight *= sums[j]!;
            slipWeight += product(own, SLIPS + j * pairs, ofSlips);
        }
        slipWeight *= beside;
        const heldWeight = stillShare * beside * product(own, HELD, ofCar);
        const total = noneWeight + heldWeight + slipWeight;
        frontCount += fronts;
        none += noneWeight / total;
        still += (fronts * heldWeight + (fronts - 1) * slipWeight) / total;
        addTo(held, own, HELD, (stillShare * beside) / total);
        for (let j = 0; j < fronts; j++) {
            addTo(alone, own, ALONE + j * corners, noneWeight / sums[j]! / total);
            addTo(slipped, own, SLIPS + j * pairs, beside / total);
        }
    }
    const corner = shares.corner.map((share, k) => share * alone[k]! + (k === 0 ? still : 0));
    const car = [none, ...shares.car.slice(1).map((share, c) => share * held[c]!)];
    for (let i = 0; i < pairs; i++) {
        corner[slips[i % slips.length]!]! += slipped[i]! * ofSlips[i]!;
        car[1 + Math.floor(i / slips.length)]! += slipped[i]! * ofSlips[i]!;
    }
    return { corner, car, frontCount };
}

const updated = (prior: readonly Prior[], counts: readonly number[], count: number) =>
    prior.map((own, k) => (own.count * own.share + counts[k]!) / (own.count + count));

const settled = (before: readonly number[], after: readonly number[]) =>
    after.every((share, k) => Math.abs(share - before[k]!) < 1e-4);

/**
 * Shares of the categories by expectation and maximisation, until none moves by 1e-4. Where there are more than 10,000 sessions, 48 steps
 * with the `first` of them, then 12 with all: a fixed number, so that the outcome moves no farther than the data. Sessions are as {@link likelihoodsIn} has them.
 */
export function oddsOf(
    sessions: readonly Float64Array[],
    first: readonly Float64Array[],
    prior: { corner: readonly Prior[]; car: readonly Prior[] },
): Odds {
    const isLarge = sessions.length > 10_000;
    let shares: Shares = {
        corner: prior.corner.map(({ share }) => share),
        car: prior.car.map(({ share }) => share),
    };
    for (let step = 1; ; step++) {
        const used = isLarge && step <= 48 ? first : sessions;
        const counts = expected(used, shares);
        const next = {
            corner: updated(prior.corner, counts.corner, counts.frontCount),
            car: updated(prior.car, counts.car, used.length),
        };
        const isSettled = settled(shares.corner, next.corner) && settled(shares.car, next.car);
        shares = next;
        if (isLarge ? step === 60 : step === 100 || isSettled) return { shares, expected: counts };
    }
}
