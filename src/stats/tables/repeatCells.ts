import { type Cell, mistakeLimit, repeatability } from '../measurement/repeatability.js';
import { groupsBy, type TableFunction } from './batch.js';

/** Repeatability of each gauge, person and angle. Rows of one gauge and angle come sorted by person and state. */
export const repeatCells: TableFunction = async function* (batches) {
    for await (const group of groupsBy(batches, 'gauge', 'response')) {
        const step = group.number('step_deg');
        const typical = { variance: group.number('typical_var'), df: group.number('typical_df') };
        const [people, states, readings] = ['technician', 'state', 'read_deg'].map((name) =>
            group.values(name),
        );
        const cells = new Map<unknown, Map<unknown, number[]>>();
        for (const [i, person] of people!.entries()) {
            const own = cells.get(person) ?? new Map<unknown, number[]>();
            cells.set(person, own);
            const cell = own.get(states![i]) ?? [];
            own.set(states![i], cell);
            cell.push(readings![i] as number);
        }
        const all = [...cells.values()].flatMap((own): Cell[] => [...own.values()]);
        const limit = mistakeLimit(all, step, typical);
        for (const [technician, own] of cells) {
            const found = repeatability([...own.values()], step, limit);
            yield {
                ...group.key,
                technician: technician as string | null,
                df: found.df,
                outlier_count: found.mistakeCount,
                var_deg2: found.variance,
                var_of_all_deg2: found.varianceOfAll,
            };
        }
    }
};
