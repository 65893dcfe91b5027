import { type Cell, mistakeLimit, repeatability, usualOf } from '../measurement/repeatability.js';
import { type Group, groupsBy, type TableFunction, type Value } from './batch.js';

interface Reader {
    gauge: Value;
    technician: Value;
    step: number;
    /** By state. */
    cells: Map<unknown, number[]>;
}

/** The cells of one angle by gauge and person, which come sorted. */
function readersOf(group: Group): Reader[] {
    const [gauges, people, states, readings, steps] = [
        'gauge',
        'technician',
        'state',
        'read_deg',
        'step_deg',
    ].map((name) => group.values(name));
    const readers: Reader[] = [];
    for (const [i, state] of states!.entries()) {
        const [gauge, technician] = [gauges![i] as Value, people![i] as Value];
        let reader = readers.at(-1);
        if (reader === undefined || reader.gauge !== gauge || reader.technician !== technician) {
            reader = { gauge, technician, step: steps![i] as number, cells: new Map() };
            readers.push(reader);
        }
        const cell = reader.cells.get(state) ?? [];
        reader.cells.set(state, cell);
        cell.push(readings![i] as number);
    }
    return readers;
}

function byGauge(readers: readonly Reader[]): Map<Value, Reader[]> {
    const found = new Map<Value, Reader[]>();
    for (const reader of readers) found.set(reader.gauge, [...(found.get(reader.gauge) ?? []), reader]);
    return found;
}

const cellsOf = (readers: readonly Reader[]): Cell[] => readers.flatMap(({ cells }) => [...cells.values()]);

/** Repeatability of each gauge, person and angle. */
export const repeatCells: TableFunction = async function* (batches) {
    for await (const group of groupsBy(batches, 'response')) {
        const readers = readersOf(group);
        const all = usualOf(cellsOf(readers));
        for (const [gauge, own] of byGauge(readers)) {
            const limit = mistakeLimit(usualOf(cellsOf(own)), all, own[0]!.step);
            for (const reader of own) {
                const found = repeatability(cellsOf([reader]), reader.step, limit);
                yield {
                    gauge,
                    technician: reader.technician,
                    ...group.key,
                    df: found.df,
                    outlier_count: found.mistakeCount,
                    var_deg2: found.variance,
                    var_of_all_deg2: found.varianceOfAll,
                };
            }
        }
    }
};
