import { type ColumnSource, unitsOf } from '../../contracts/map.js';
import type { Column } from '../../contracts/table.js';
import {
    diameterMissing,
    lengthOnAngle,
    notForColumn,
    notOurValue,
    oneSourceOf,
    toeUnsaid,
    unitUnfit,
} from '../../errors/mapMessages.js';
import type { Fault } from './mapFaults.js';
import { patternFaults } from './patternFaults.js';

/** Whether `value` may stand in `column`, apart from ranges. */
export function fits(column: Column, value: string): boolean {
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

/** What in the source of one of our columns does not go together. */
export function sourceFaults(column: Column, source: ColumnSource): Fault[] {
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
