import { likelihoodsOf } from '../drift/session.js';
import type { TableFunction } from './batch.js';
import { sessionsOf } from './driftSessions.js';

/** Marginal likelihoods of what may have happened in each session. */
export const sessionLikelihoods: TableFunction = async function* (batches, whole) {
    for await (const { names, session } of sessionsOf(batches, whole.sensitivities!)) {
        const { none, alone, held, slips } = likelihoodsOf(session);
        const left = session.fronts.findIndex(({ side }) => side === 1);
        const right = session.fronts.findIndex(({ side }) => side === -1);
        yield {
            ...names,
            front_count: session.fronts.length,
            none,
            left_alone: alone[left] ?? null,
            right_alone: alone[right] ?? null,
            both_held: held,
            left_slips: slips[left] ?? null,
            right_slips: slips[right] ?? null,
        };
    }
};
