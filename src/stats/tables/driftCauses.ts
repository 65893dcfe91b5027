import { carCauses, cornerCauses, priorCount } from '../drift/causes/index.js';
import type { TableFunction } from './batch.js';

const rest = (causes: readonly { share: number }[]) =>
    1 - causes.reduce((sum, { share }) => sum + (Number.isNaN(share) ? 0 : share), 0);

/** What may have happened over a session, with prior odds: what is in src/stats/drift/causes. */
export const driftCauses: TableFunction = async function* () {
    const none = {
        name: 'none',
        class: 'held',
        level: 'car',
        share: rest(carCauses),
        words: 'nothing happened to the whole car',
    };
    for (const { name, class: of, level, share, words } of [...cornerCauses, none, ...carCauses]) {
        yield {
            cause: name,
            class: of,
            level,
            prior_share: Number.isNaN(share) ? rest(cornerCauses) : share,
            prior_count: priorCount,
            meaning: words,
        };
    }
};
