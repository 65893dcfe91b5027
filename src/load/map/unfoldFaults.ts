import type { ImportMap } from '../../contracts/map.js';
import type { TableContract } from '../../contracts/table.js';
import { notOurColumn, notOurValue, oneSourceOf, unfoldParts } from '../../errors/mapMessages.js';
import { cornerParts, lonePart } from './folds.js';
import type { Fault } from './mapFaults.js';
import { fits } from './sourceFaults.js';

/** What in `unfold` does not go together. */
export function unfoldFaults(contract: TableContract, map: ImportMap): Fault[] {
    const { unfold, columns } = map;
    const faults: Fault[] = [];
    for (const [name, words] of Object.entries(unfold)) {
        const parts = Object.hasOwn(cornerParts, name) ? Object.keys(cornerParts[name]!) : undefined;
        const column = contract.columns.find((one) => one.name === name);
        if (parts === undefined && column === undefined) {
            const message = notOurColumn(name, null, contract.kind);
            faults.push({ path: ['unfold', name], message });
            continue;
        }
        if (Object.hasOwn(columns, name)) {
            faults.push({ path: ['columns', name], message: oneSourceOf() });
        }
        for (const [word, value] of Object.entries(words)) {
            if (parts === undefined ? fits(column!, value) : parts.includes(value)) continue;
            faults.push({
                path: ['unfold', name, word],
                message: notOurValue(value, name, parts ?? column!.words),
            });
        }
    }
    const halves = Object.keys(cornerParts).filter((part) => Object.hasOwn(unfold, part));
    if (halves.length === 1 && !Object.hasOwn(unfold, 'corner') && lonePart(map) === null) {
        faults.push({ path: ['unfold', halves[0]!], message: unfoldParts() });
    }
    return faults;
}
