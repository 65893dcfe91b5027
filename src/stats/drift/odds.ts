import type { Categories, Category } from './categories.js';
import type { Likelihoods } from './session.js';
import { type Shares, weigh } from './weigh.js';

export interface Odds {
    shares: Shares;
    /** Expected number of sessions with each category. */
    expected: Shares;
}

interface Counts {
    corner: number[];
    car: number[];
    frontCount: number;
    sessionCount: number;
}

/** Expected number of sessions with each category, at the odds `shares`. */
function expect(sessions: readonly Likelihoods[], categories: Categories, shares: Shares): Counts {
    const corner = categories.corner.map(() => 0);
    const car = categories.car.map(() => 0);
    let frontCount = 0;
    for (const session of sessions) {
        const parts = weigh(session, categories, shares);
        const fronts = parts.alone.length;
        frontCount += fronts;
        for (const own of parts.alone) own.forEach((value, k) => (corner[k]! += value));
        car[0]! += parts.none;
        parts.held.forEach((value, c) => {
            car[c]! += value;
            corner[0]! += fronts * value;
        });
        for (const own of parts.slips) {
            own.forEach((row, c) =>
                row.forEach((value, s) => {
                    car[c]! += value;
                    corner[categories.slips[s]!]! += value;
                    corner[0]! += (fronts - 1) * value;
                }),
            );
        }
    }
    return { corner, car, frontCount, sessionCount: sessions.length };
}

const updated = (categories: readonly Category[], expected: readonly number[], count: number) =>
    categories.map(
        ({ priorShare, priorCount }, k) => (priorCount * priorShare + expected[k]!) / (priorCount + count),
    );

const most = (a: Shares, b: Shares) =>
    Math.max(
        ...a.corner.map((value, k) => Math.abs(value - b.corner[k]!)),
        ...a.car.map((value, c) => Math.abs(value - b.car[c]!)),
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
    let shares: Shares = {
        corner: categories.corner.map(({ priorShare }) => priorShare),
        car: categories.car.map(({ priorShare }) => priorShare),
    };
    for (let step = 1; ; step++) {
        const counts = expect(isLarge && step <= 48 ? first : sessions, categories, shares);
        const next = {
            corner: updated(categories.corner, counts.corner, counts.frontCount),
            car: updated(categories.car, counts.car, counts.sessionCount),
        };
        const isSettled = isLarge ? step === 60 : step === 100 || most(next, shares) < 1e-4;
        shares = next;
        if (isSettled) return { shares, expected: counts };
    }
}
