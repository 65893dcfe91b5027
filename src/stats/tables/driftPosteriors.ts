import { type CauseTables, categoriesOf } from '../drift/categories.js';
import { causesOf } from '../drift/posterior.js';
import { likelihoodsOf } from '../drift/session.js';
import { type Shares, weigh } from '../drift/weigh.js';
import type { Row, TableFunction } from './batch.js';
import { sessionsOf } from './driftSessions.js';

function sharesOf(odds: readonly Row[]): Shares {
    const ofLevel = (level: string) =>
        odds
            .filter((row) => row.level === level)
            .sort((a, b) => (a.place as number) - (b.place as number))
            .map(({ share }) => share as number);
    return { corner: ofLevel('corner'), car: ofLevel('car') };
}

/** Probabilities of what happened to each front over a session. */
export const driftPosteriors: TableFunction = async function* (batches, whole) {
    const categories = categoriesOf(whole as unknown as CauseTables);
    const shares = sharesOf(whole.drift_odds!);
    for await (const { rows, session } of sessionsOf(batches, whole.sensitivities!)) {
        const parts = weigh(likelihoodsOf(session, categories), categories, shares);
        for (const [front, { chassis, vehicle, corner, visit }] of rows.entries()) {
            const causes = causesOf(categories, parts, front);
            const [likeliest, next] = [...causes].sort(([, p], [, q]) => q - p);
            yield {
                chassis: chassis!,
                vehicle: vehicle!,
                corner: corner!,
                visit: visit!,
                ...Object.fromEntries([...causes].map(([cause, p]) => [`p_${cause}`, p])),
                cause: likeliest![0],
                p_cause: likeliest![1],
                next_cause: next![0],
            };
        }
    }
};
