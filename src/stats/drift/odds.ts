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

/** Shares of each cause on the car with each slip, in the order of {@link Likelihoods}; `slips`: places of slips. */
const slipShares = ({ corner, car }: Shares, slips: readonly number[]) =>
    car.slice(1).flatMap((share) => slips.map((place) => share * corner[place]!));

function product(a: readonly number[], b: readonly number[]): number {
    let sum = 0;
    for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
    return sum;
}

/** Adds `weight` times `values` to `sums`. */
function addTo(sums: Float64Array, values: readonly number[], weight: number): void {
    for (let i = 0; i < values.length; i++) sums[i]! += values[i]! * weight;
}

/** Expected number of sessions with each category at the odds `shares`, and the number of fronts. */
function expected(sessions: readonly Likelihoods[], slips: readonly number[], shares: Shares) {
    const ofSlips = slipShares(shares, slips);
    const [nothing, ...ofCar] = shares.car as [number, ...number[]];
    const stillShare = shares.corner[0]!;
    const alone = new Float64Array(shares.corner.length);
    const [held, slipped] = [new Float64Array(ofCar.length), new Float64Array(ofSlips.length)];
    let [none, still, frontCount] = [0, 0, 0];
    for (const session of sessions) {
        const fronts = session.alone.length;
        const sums = session.alone.map((own) => product(own, shares.corner));
        const noneWeight = sums.reduce((weight, sum) => weight * sum, nothing * session.none);
        // Of the front that held beside one that slipped.
        const beside = fronts === 2 ? stillShare : 1;
        const heldWeight = stillShare * beside * product(session.held, ofCar);
        const slipWeight = beside * session.slips.reduce((sum, own) => sum + product(own, ofSlips), 0);
        const total = noneWeight + heldWeight + slipWeight;
        frontCount += fronts;
        none += noneWeight / total;
        still += (fronts * heldWeight + (fronts - 1) * slipWeight) / total;
        addTo(held, session.held, (stillShare * beside) / total);
        for (let j = 0; j < fronts; j++) {
            addTo(alone, session.alone[j]!, noneWeight / sums[j]! / total);
            addTo(slipped, session.slips[j]!, beside / total);
        }
    }
    const corner = shares.corner.map((share, k) => share * alone[k]! + (k === 0 ? still : 0));
    const car = [none, ...ofCar.map((share, c) => share * held[c]!)];
    for (const [i, share] of ofSlips.entries()) {
        corner[slips[i % slips.length]!]! += slipped[i]! * share;
        car[1 + Math.floor(i / slips.length)]! += slipped[i]! * share;
    }
    return { corner, car, frontCount };
}

const updated = (prior: readonly Prior[], counts: readonly number[], count: number) =>
    prior.map((own, k) => (own.count * own.share + counts[k]!) / (own.count + count));

const settled = (before: readonly number[], after: readonly number[]) =>
    after.every((share, k) => Math.abs(share - before[k]!) < 1e-4);

/**
 * Shares of the categories by expectation and maximisation, until none moves by 1e-4. Where there are more than 10,000 sessions, 48 steps
 * with the `first` of them, then 12 with all: a fixed number, so that the outcome moves no farther than the data. `slips`: places of slips
 * among the categories of a corner.
 */
export function oddsOf(
    sessions: readonly Likelihoods[],
    first: readonly Likelihoods[],
    prior: { corner: readonly Prior[]; car: readonly Prior[] },
    slips: readonly number[],
): Odds {
    const isLarge = sessions.length > 10_000;
    let shares: Shares = {
        corner: prior.corner.map(({ share }) => share),
        car: prior.car.map(({ share }) => share),
    };
    for (let step = 1; ; step++) {
        const used = isLarge && step <= 48 ? first : sessions;
        const counts = expected(used, slips, shares);
        const next = {
            corner: updated(prior.corner, counts.corner, counts.frontCount),
            car: updated(prior.car, counts.car, used.length),
        };
        const isSettled = settled(shares.corner, next.corner) && settled(shares.car, next.car);
        shares = next;
        if (isLarge ? step === 60 : step === 100 || isSettled) return { shares, expected: counts };
    }
}
