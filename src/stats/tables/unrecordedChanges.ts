import { causeNamed } from '../drift/causes/index.js';
import { odds } from '../drift/runs.js';
import type { TableFunction, Value } from './batch.js';
import {
    classOf,
    frontsTogether,
    judged,
    Odds,
    posteriors,
    type Rules,
    ranked,
    withoutHeld,
} from './drift.js';

const notCopied = ['none', 'alone', 'both_held', 'slips'];

/** Fronts that moved though nothing ran, or other than their pointers say. */
export const unrecordedChanges: TableFunction = async function* (batches, whole) {
    const [transport, adjustment] = [odds.gap, odds.set].map((moves) => new Odds(whole.drift_odds!, moves));
    const rules = whole.drift_rules![0] as unknown as Rules;
    for await (const fronts of frontsTogether(batches)) {
        const ofAll = (name: string) => Array.from({ length: fronts.count }, (_, j) => fronts.value(name, j));
        const isSet = ofAll('disturbance').includes('adjustment');
        const all = posteriors(fronts, isSet ? adjustment! : transport!);
        const putRight = ofAll('p_put_right') as number[];
        for (const [j, own] of all.entries()) {
            const found = judged(fronts, j, own, rules);
            if (found === null) continue;
            const { held, plateMoved, bent, other } = found;
            const likely = ranked(withoutHeld(found.found));
            const { level, ofMeasuring } = causeNamed(likely.cause!);
            // What is on the whole car was put right for both fronts.
            const isPutRight = (level === 'car' ? Math.max(...putRight) : putRight[j]!) >= 0.5;
            if (!isPutRight && (1 - held < rules.min_moved || ofMeasuring)) continue;
            const cells: Record<string, Value> = {
                ...likely,
                p_held: held,
                p_plate_moved: plateMoved,
                p_bent: bent,
                p_other: other,
                verdict: isPutRight ? 'put_right' : classOf(found),
            };
            for (const name of fronts.names)
                if (!notCopied.includes(name)) cells[name] = fronts.value(name, j);
            yield cells;
        }
    }
};
