import type { ColumnSource, ImportMap } from '../../contracts/map.js';
import type { TableContract } from '../../contracts/table.js';
import { tableOf } from '../../contracts/tables.js';
import {
    mapNeeds,
    notOurColumn,
    onlyWithoutPhase,
    sweepNeeds,
    wrongDropKeys,
} from '../../errors/mapMessages.js';
import { nearestName } from '../nearestName.js';
import { cornerParts } from './folds.js';
import { patternFaults } from './patternFaults.js';
import { sourceFaults } from './sourceFaults.js';
import { unfoldFaults } from './unfoldFaults.js';

/** Something in a map to mend, and the keys that lead to it. */
export interface Fault {
    path: PropertyKey[];
    message: string;
}

function dropFaults({ drop }: ImportMap): Fault[] {
    return drop.flatMap(({ column, blank, pattern, line }, index) => {
        const path = ['drop', index];
        const isColumn =
            column !== undefined && line === undefined && (blank === true) !== (pattern !== undefined);
        const isLine =
            line !== undefined && column === undefined && blank === undefined && pattern === undefined;
        return [
            ...(isColumn || isLine ? [] : [{ path, message: wrongDropKeys() }]),
            ...patternFaults([...path, 'pattern'], pattern),
            ...patternFaults([...path, 'line'], line),
        ];
    });
}

/** `only` needs rows of several phases to choose from. */
function onlyFaults({ unfold }: ImportMap, name: string, { only }: ColumnSource): Fault[] {
    if (only === 'all' || Object.values(unfold.phase ?? {}).includes(only)) return [];
    return [{ path: ['columns', name, 'only'], message: onlyWithoutPhase(only) }];
}

function missingFaults(contract: TableContract, { columns, unfold }: ImportMap): Fault[] {
    const cornerGiven = Object.keys(cornerParts).every((part) => Object.hasOwn(unfold, part));
    const given = new Set([
        ...Object.keys(columns),
        ...Object.keys(unfold),
        ...(cornerGiven ? ['corner'] : []),
    ]);
    const required = contract.columns.filter(({ required, name }) => required && !given.has(name));
    const groups = contract.atLeastOneOf.filter((group) => !group.some((name) => given.has(name)));
    const missing = [...required.map(({ name }) => name), ...groups.map((group) => group.join(' or '))];
    return missing.length === 0 ? [] : [{ path: ['columns'], message: mapNeeds(contract.kind, missing) }];
}

/** What in a map does not go together. Which columns the file has is looked at when it is read. */
export function mapFaults(map: ImportMap): Fault[] {
    const contract = tableOf(map.kind);
    const faults = Object.entries(map.columns).flatMap(([name, source]) => {
        const column = contract.columns.find((one) => one.name === name);
        if (column !== undefined) return [...sourceFaults(column, source), ...onlyFaults(map, name, source)];
        const message = notOurColumn(name, nearestName(name, contract.names), contract.kind);
        return [{ path: ['columns', name], message }];
    });
    if (map.columns.caster_deg?.sweep !== undefined && !map.columns.sai_deg && !map.columns.camber_deg) {
        faults.push({ path: ['columns', 'caster_deg', 'sweep'], message: sweepNeeds() });
    }
    return [...missingFaults(contract, map), ...faults, ...unfoldFaults(contract, map), ...dropFaults(map)];
}
