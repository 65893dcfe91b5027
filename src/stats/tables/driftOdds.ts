import { categories } from '../drift/categories.js';
import { cornerCauses } from '../drift/causes/index.js';
import { likelihoodsIn, oddsOf } from '../drift/odds.js';
import type { TableFunction } from './batch.js';
import { frontsTogether } from './drift.js';

/** Odds of the causes, from the prior and the sessions of a sample. */
export const driftOdds: TableFunction = async function* (batches, whole) {
    const levels = ['corner', 'car'] as const;
    const lists = { corner: categories.corner, car: [{ cause: 'none', size: 1 }, ...categories.car] };
    const [ofCorner, ofCar] = levels.map((level) =>
        lists[level].map(({ cause, size }) => {
            const found = whole.drift_causes!.find((row) => row.level === level && row.cause === cause)!;
            const part = cornerCauses.find(({ name }) => name === cause)?.sizes[size - 1]?.share ?? 1;
            return { share: (found.prior_share as number) * part, count: found.prior_count as number };
        }),
    );
    const prior = { corner: ofCorner!, car: ofCar! };
    const sessions: Float64Array[] = [];
    const first: Float64Array[] = [];
    let [visitCount, frontCount, sampledFronts] = [0, 0, 0];
    for await (const fronts of frontsTogether(batches)) {
        const lists = (name: string) => Array.from({ length: fronts.count }, (_, j) => fronts.list(name, j)!);
        const likelihoods = likelihoodsIn({
            none: fronts.value('none', 0) as number,
            alone: lists('alone'),
            held: fronts.list('both_held', 0)!,
            slips: lists('slips'),
        });
        sessions.push(likelihoods);
        if (fronts.value('is_first', 0)) first.push(likelihoods);
        sampledFronts += fronts.count;
        visitCount = fronts.value('visit_count', 0) as number;
        frontCount = fronts.value('all_front_count', 0) as number;
    }
    const { shares, expected } = oddsOf(sessions, first, prior);
    const counts = {
        corner: { all: frontCount, sampled: sampledFronts },
        car: { all: visitCount, sampled: sessions.length },
    };
    for (const level of levels) {
        const { all, sampled } = counts[level];
        for (const [place, { cause, size }] of lists[level].entries()) {
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
