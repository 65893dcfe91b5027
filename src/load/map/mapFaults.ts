import type { z } from 'zod';
import { type ColumnSource, type ImportMap, unitsOf } from '../../contracts/map.js';
import type { Column, TableContract } from '../../contracts/table.js';
import { tableOf } from '../../contracts/tables.js';
import {
    badPattern,
    diameterMissing,
    lengthOnAngle,
    mapNeeds,
    noGroup,
    notForColumn,
    notOneOf,
    notOurColumn,
    notOurValue,
    oneSourceOf,
    sweepNeeds,
    toeUnsaid,
    unfoldParts,
    unitUnfit,
    unknownKey,
    wrongDropKeys,
} from '../../errors/mapMessages.js';
import { nearestName } from '../nearestName.js';
import { cornerParts } from './folds.js';

/** Something in a map to mend, and the keys that lead to it. */
export interface Fault {
    path: PropertyKey[];
    message: string;
}

type Issue = z.core.$ZodIssue;

/** Of the forms that a value may have, the issues of the one that it comes closest to. */
function deepest(issues: readonly Issue[]): Issue[] {
    return issues.flatMap((issue) => {
        if (issue.code !== 'invalid_union') return [issue];
        const branches = issue.errors
            .map((branch) => deepest(branch))
            .filter((branch) => branch.some(({ path, code }) => path.length > 0 || code !== 'invalid_type'));
        const [closest] = branches;
        if (closest === undefined) return [{ ...issue, path: issue.path }];
        return closest.map((inner) => ({ ...inner, path: [...issue.path, ...inner.path] }) as Issue);
    });
}

/** The issues of the schema as faults, one for each key at fault. */
export function schemaFaults(issues: readonly Issue[]): Fault[] {
    return deepest(issues).flatMap((issue): Fault[] => {
        const path = [...issue.path];
        if (issue.code === 'unrecognized_keys') {
            return issue.keys.map((key) => ({ path: [...path, key], message: unknownKey(key) }));
        }
        if (issue.code === 'invalid_value') return [{ path, message: notOneOf(issue.values.map(String)) }];
        return [{ path, message: issue.message }];
    });
}

function patternFaults(path: PropertyKey[], pattern: string | undefined, group?: string): Fault[] {
    if (pattern === undefined) return [];
    try {
        new RegExp(pattern, 'u');
    } catch (error) {
        return [{ path, message: badPattern((error as Error).message) }];
    }
    if (group === undefined || pattern.includes(`(?<${group}>`)) return [];
    return [{ path, message: noGroup(group) }];
}

function fits(column: Column, value: string): boolean {
    if (column.type === 'choice') return column.words.includes(value);
    if (column.type === 'number' || column.type === 'integer') return Number.isFinite(Number(value));
    return true;
}

/** Keys of a source that say something only about some columns. */
const onlyFor: [keyof ColumnSource, (column: Column) => boolean][] = [
    ['toe', ({ name }) => name === 'toe_deg'],
    ['diameter_mm', ({ name }) => name === 'toe_deg'],
    ['sweep', ({ name }) => name === 'caster_deg'],
    ['unit', ({ type }) => type === 'number'],
];

function numberFaults(path: PropertyKey[], column: Column, source: ColumnSource): Fault[] {
    const faults: Fault[] = [];
    const { unit, diameter_mm, toe } = source;
    const units = unitsOf[column.unit ?? ''] ?? [];
    const isLength = unit === 'mm' || unit === 'inch';
    if (unit !== undefined && !units.includes(unit)) {
        faults.push({ path: [...path, 'unit'], message: unitUnfit(column.name, units) });
    } else if (isLength && column.unit === 'deg' && column.name !== 'toe_deg') {
        faults.push({ path: [...path, 'unit'], message: lengthOnAngle(column.name) });
    } else if (isLength && column.name === 'toe_deg' && diameter_mm === undefined) {
        faults.push({ path: [...path, 'unit'], message: diameterMissing() });
    }
    if (column.name === 'toe_deg' && toe === undefined && source.constant === undefined) {
        faults.push({ path, message: toeUnsaid() });
    }
    return faults;
}

function sourceFaults(column: Column, source: ColumnSource): Fault[] {
    const path = ['columns', column.name];
    const given = (['column', 'constant', 'text', 'sweep'] as const).filter(
        (key) => source[key] !== undefined,
    );
    const faults: Fault[] = given.length === 1 ? [] : [{ path, message: oneSourceOf() }];
    for (const [key, applies] of onlyFor) {
        if (source[key] !== undefined && !applies(column)) {
            faults.push({ path: [...path, key], message: notForColumn(key, column.name) });
        }
    }
    faults.push(...patternFaults([...path, 'pattern'], source.pattern, column.name));
    if (column.type === 'number') faults.push(...numberFaults(path, column, source));
    if (source.constant !== undefined && !fits(column, source.constant)) {
        faults.push({
            path: [...path, 'constant'],
            message: notOurValue(source.constant, column.name, column.words),
        });
    }
    for (const [word, value] of Object.entries(source.words ?? {})) {
        if (fits(column, value) || value === '') continue;
        faults.push({
            path: [...path, 'words', word],
            message: notOurValue(value, column.name, column.words),
        });
    }
    return faults;
}

function unfoldFaults(contract: TableContract, { unfold, columns }: ImportMap): Fault[] {
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
    if (halves.length === 1 && !Object.hasOwn(unfold, 'corner')) {
        faults.push({ path: ['unfold', halves[0]!], message: unfoldParts() });
    }
    return faults;
}

function dropFaults({ drop }: ImportMap): Fault[] {
    return drop.flatMap(({ column, blank, pattern, line }, index) => {
        const path = ['drop', index];
        const isColumn = column !== undefined && line === undefined && (blank === true) !== (pattern !== undefined);
        const isLine = line !== undefined && column === undefined && blank === undefined && pattern === undefined;
        return [
            ...(isColumn || isLine ? [] : [{ path, message: wrongDropKeys() }]),
            ...patternFaults([...path, 'pattern'], pattern),
            ...patternFaults([...path, 'line'], line),
        ];
    });
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
    const names = contract.columns.map(({ name }) => name);
    const faults = Object.entries(map.columns).flatMap(([name, source]) => {
        const column = contract.columns.find((one) => one.name === name);
        if (column !== undefined) return sourceFaults(column, source);
        const message = notOurColumn(name, nearestName(name, names), contract.kind);
        return [{ path: ['columns', name], message }];
    });
    if (map.columns.caster_deg?.sweep !== undefined && !map.columns.sai_deg && !map.columns.camber_deg) {
        faults.push({ path: ['columns', 'caster_deg', 'sweep'], message: sweepNeeds() });
    }
    return [
        ...missingFaults(contract, map),
        ...faults,
        ...unfoldFaults(contract, map),
        ...dropFaults(map),
    ];
}
