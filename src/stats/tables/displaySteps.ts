import { displayStep } from '../measurement/displayStep.js';
import { groupsBy, type TableFunction } from './batch.js';

/** The display of each gauge and angle, from the values that it showed. */
export const displaySteps: TableFunction = async function* (batches) {
    for await (const group of groupsBy(batches, 'gauge', 'response')) {
        const counts = group.values('reading_count') as number[];
        const values = new Map(group.values('read_deg').map((value, i) => [value as number, counts[i]!]));
        yield { ...group.key, step_deg: displayStep(values) };
    }
};
