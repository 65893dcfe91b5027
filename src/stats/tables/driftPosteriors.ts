import { type CauseTables, categoriesOf } from '../drift/categories.js';
import { causesOf, posterior } from '../drift/posterior.js';
import { likelihoodsOf } from '../drift/session.js';
import { sharesOf } from '../drift/weigh.js';
import { blankRow, type Row, type TableFunction } from './batch.js';
import { sessionsOf } from './driftSessions.js';

const sharesOfLevel = (odds: readonly Row[], level: string) =>
    odds
        .filter((row) => row.level === level)
        .sort((a, b) => (a.place as number) - (b.place as number))
        .map(({ share }) => share as number);

/** Place of the largest of `values`, the first of equal ones, `but` left out. */
function placeOfMost(values: readonly number[], but = -1): number {
    let found = -1;
    for (const [place, value] of values.entries())
        if (place !== but && (found < 0 || value > values[found]!)) found = place;
    return found;
}

const key = ['chassis', 'vehicle', 'corner', 'visit'];

/** Probabilities of what happened to each front over a session. */
export const driftPosteriors: TableFunction = async function* (batches, whole) {
    const categories = categoriesOf(whole as unknown as CauseTables);
    const [corner, car] = ['corner', 'car'].map((level) => sharesOfLevel(whole.drift_odds!, level));
    const shares = sharesOf(corner!, car!, categories);
    const causes = causesOf(categories);
    const columns = causes.map((cause) => `p_${cause}`);
    const blank = blankRow([...key, ...columns, 'cause', 'p_cause', 'next_cause']);
    for await (const { rows, session } of sessionsOf(batches, whole.sensitivities!, key)) {
        const found = posterior(likelihoodsOf(session, categories), categories, shares, causes);
        for (const [front, probabilities] of found.entries()) {
            const likeliest = placeOfMost(probabilities);
            const row = { ...blank, ...rows[front] };
            row.cause = causes[likeliest]!;
            row.p_cause = probabilities[likeliest]!;
            row.next_cause = causes[placeOfMost(probabilities, likeliest)]!;
            for (const [place, column] of columns.entries()) row[column] = probabilities[place]!;
            yield row;
        }
    }
};
