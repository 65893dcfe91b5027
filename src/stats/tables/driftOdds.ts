import { categoriesOf } from '../drift/categories.js';
import { oddsOf } from '../drift/odds.js';
import type { Likelihoods } from '../drift/session.js';
import { type Row, rowsOf, type TableFunction } from './batch.js';

type List = readonly number[] | null;

const both = (left: unknown, right: unknown) => [left as List, right as List].filter((one) => one !== null);

const likelihoodsOf = (row: Row): Likelihoods => ({
    none: row.none as number,
    alone: both(row.left_alone, row.right_alone),
    held: row.both_held as List as readonly number[],
    slips: both(row.left_slips, row.right_slips),
});

/** Odds of the causes, from the prior and the sessions of a sample. */
export const driftOdds: TableFunction = async function* (batches, whole) {
    const [causes, components] = [whole.drift_causes!, whole.drift_components!];
    const { corner, car, slips } = categoriesOf(components, whole.car_components!);
    const categories = { corner, car: [{ cause: 'none', size: 1 }, ...car] };
    const levels = ['corner', 'car'] as const;
    const lost = causes.find(
        ({ level, cause }) => !categories[level as 'corner' | 'car'].some((one) => one.cause === cause),
    );
    if (lost !== undefined) throw new Error(`drift_causes: ${lost.cause} has no size in the components`);
    const [ofCorner, ofCar] = levels.map((level) =>
        categories[level].map(({ cause, size }) => {
            const found = causes.find((row) => row.level === level && row.cause === cause);
            if (found === undefined) throw new Error(`drift_causes: there is no ${cause} on a ${level}`);
            const own = components.find((row) => row.cause === cause && row.size === size);
            const share = (found.prior_share as number) * ((own?.size_share ?? 1) as number);
            return { share, count: found.prior_count as number };
        }),
    );
    const prior = { corner: ofCorner!, car: ofCar! };
    const sessions: Likelihoods[] = [];
    const first: Likelihoods[] = [];
    let [visitCount, frontCount, sampledFronts] = [0, 0, 0];
    for await (const row of rowsOf(batches)) {
        const likelihoods = likelihoodsOf(row);
        sessions.push(likelihoods);
        if (row.is_first) first.push(likelihoods);
        sampledFronts += likelihoods.alone.length;
        [visitCount, frontCount] = [row.visit_count as number, row.all_front_count as number];
    }
    const { shares, expected } = oddsOf(sessions, first, prior, slips);
    const counts = {
        corner: { all: frontCount, sampled: sampledFronts },
        car: { all: visitCount, sampled: sessions.length },
    };
    for (const level of levels) {
        const { all, sampled } = counts[level];
        for (const [place, { cause, size }] of categories[level].entries()) {
            yield {
                cause,
                size,
                level,
                place: place + 1,
                prior_share: prior[level][place]!.share,
                share: shares[level][place]!,
                expected_count: (expected[level][place]! * all) / Math.max(sampled, 1),
                session_count: all,
            };
        }
    }
};
