import { type Category, type CauseTables, categoriesOf } from '../drift/categories.js';
import { oddsOf } from '../drift/odds.js';
import { type Likelihoods, likelihoodsOf } from '../drift/session.js';
import type { TableFunction } from './batch.js';
import { sessionsOf } from './driftSessions.js';

const kept = ['visit_count', 'front_count', 'is_first'];

/** Odds of the causes, from the prior and the sessions of a sample. */
export const driftOdds: TableFunction = async function* (batches, whole) {
    const categories = categoriesOf(whole as unknown as CauseTables);
    const sessions: Likelihoods[] = [];
    const first: Likelihoods[] = [];
    let [visitCount, frontCount, sampledFronts] = [0, 0, 0];
    for await (const { rows, session } of sessionsOf(batches, whole.sensitivities!, kept)) {
        const likelihoods = likelihoodsOf(session, categories);
        sessions.push(likelihoods);
        if (rows[0]!.is_first) first.push(likelihoods);
        sampledFronts += rows.length;
        visitCount = rows[0]!.visit_count as number;
        frontCount = rows[0]!.front_count as number;
    }
    const { shares, expected } = oddsOf(sessions, first, categories);
    const counts = {
        corner: { all: frontCount, sampled: sampledFronts },
        car: { all: visitCount, sampled: sessions.length },
    };
    for (const level of ['corner', 'car'] as const) {
        const { all, sampled } = counts[level];
        const own: readonly Category[] = categories[level];
        for (const [place, { cause, size, priorShare }] of own.entries()) {
            yield {
                cause,
                size,
                level,
                place: place + 1,
                prior_share: priorShare,
                share: shares[level][place]!,
                expected_count: (expected[level][place]! * all) / Math.max(sampled, 1),
                session_count: all,
            };
        }
    }
};
