import type { Categories, Category } from './categories.js';
import type { Likelihoods } from './session.js';
import { type Shares, sharesOf, weigh } from './weigh.js';

export interface Odds {
    shares: Shares;
    /** Expected number of sessions with each category. */
    expected: Pick<Shares, 'corner' | 'car'>;
}

/** Adds `weight` times `values` to `sums`. */
function addTo(sums: Float64Array, values: Float64Array, weight: number): void {
    for (let i = 0; i < values.length; i++) sums[i]! += values[i]! * weight;
}

/** Expected number of sessions with each category at the odds `shares`, and the number of fronts. */
function expected(sessions: readonly Likelihoods[], { corner, car, slips }: Categories, shares: Shares) {
    const zeros = ({ length }: readonly unknown[]) => new Float64Array(length);
    const alone = zeros(corner);
    const [held, bothHeld] = [zeros(car), zeros(car)];
    const [slipped, besideSlip] = [zeros(shares.slips), zeros(shares.slips)];
    let [none, frontCount] = [0, 0];
    for (const session of sessions) {
        const weights = weigh(session, shares);
        const fronts = session.alone.length;
        frontCount += fronts;
        none += weights.none;
        addTo(held, session.held, weights.held);
        addTo(bothHeld, session.held, fronts * weights.held);
        for (let j = 0; j < fronts; j++) {
            addTo(alone, session.alone[j]!, weights.alone[j]!);
            addTo(slipped, session.slips[j]!, weights.slip);
            addTo(besideSlip, session.slips[j]!, (fronts - 1) * weights.slip);
        }
    }
    const corners = shares.corner.map((share, k) => share * alone[k]!);
    const cars = shares.car.map((share, c) => (c === 0 ? none : share * held[c]!));
    corners[0] = bothHeld.reduce((sum, value, c) => sum + value * shares.car[c]!, corners[0]!);
    for (const [i, share] of shares.slips.entries()) {
        corners[slips[i % slips.length]!]! += slipped[i]! * share;
        cars[Math.floor(i / slips.length)]! += slipped[i]! * share;
        corners[0]! += besideSlip[i]! * share;
    }
    return { corner: corners, car: cars, frontCount };
}

const updated = (categories: readonly Category[], counts: readonly number[], count: number) =>
    categories.map(
        ({ priorShare, priorCount }, k) => (priorCount * priorShare + counts[k]!) / (priorCount + count),
    );

/**
 * Shares of the categories by expectation and maximisation, until none moves by 1e-4. Where there are more than 10,000 sessions, 48 steps
 * with the `first` of them, then 12 with all: a fixed number, so that the outcome moves no farther than the data.
 */
export function oddsOf(
    sessions: readonly Likelihoods[],
    first: readonly Likelihoods[],
    categories: Categories,
): Odds {
    const isLarge = sessions.length > 10_000;
    const prior = (own: readonly Category[]) => own.map(({ priorShare }) => priorShare);
    let shares = sharesOf(prior(categories.corner), prior(categories.car), categories);
    for (let step = 1; ; step++) {
        const used = isLarge && step <= 48 ? first : sessions;
        const counts = expected(used, categories, shares);
        const next = sharesOf(
            updated(categories.corner, counts.corner, counts.frontCount),
            updated(categories.car, counts.car, used.length),
            categories,
        );
        const moves = [
            ...next.corner.map((share, k) => share - shares.corner[k]!),
            ...next.car.map((share, c) => share - shares.car[c]!),
        ];
        shares = next;
        const isSettled = isLarge
            ? step === 60
            : step === 100 || moves.every((move) => Math.abs(move) < 1e-4);
        if (isSettled) return { shares, expected: counts };
    }
}
