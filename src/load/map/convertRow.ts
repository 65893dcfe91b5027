import type { ImportMap } from '../../contracts/map.js';
import type { TableContract } from '../../contracts/table.js';
import { nothingMeasured } from '../../errors/loadMessages.js';
import { alsoWrong, nothingInRow } from '../../errors/mapMessages.js';
import type { Binding, BoundColumn, BoundFold } from './binding.js';
import { Unfit } from './cellText.js';
import type { Value } from './cellValue.js';
import { blankCells, type ColumnReader, columnReaders } from './columnReader.js';

/** What became of one row of theirs: rows of ours, by the names of the converter, and what could not be taken. */
interface Converted {
    rows: Value[][];
    rejects: Unfit[];
}

export interface Converter {
    /** Our columns, in the order of the contract. */
    names: string[];
    convert: (cells: readonly string[]) => Converted;
}

/** Several faults of one row as one: the first column, and all reasons. */
function together([first, ...others]: readonly Unfit[]): Unfit {
    const reasons = [first!.reason, ...others.map(({ at, reason }) => alsoWrong(at, reason))];
    return new Unfit(first!.at, reasons.join('; '));
}

/** Our columns that the map fills, in the order of the contract. */
function filledNames({ contract, shared, folds }: Binding): string[] {
    const filled = [
        ...[...shared, ...folds.flatMap(({ columns }) => columns)].map(({ column }) => column.name),
        ...folds.flatMap(({ values }) => Object.keys(values)),
    ];
    return contract.names.filter((name) => filled.includes(name));
}

/** The values that unfolding gives to a row, with their types. */
function foldValues(contract: TableContract, { values }: BoundFold): [string, Value][] {
    return Object.entries(values).map(([name, value]) => {
        const { type } = contract.columns.find((column) => column.name === name)!;
        return [name, type === 'integer' || type === 'number' ? Number(value) : value];
    });
}

function readInto(
    row: Map<string, Value>,
    readers: readonly ColumnReader[],
    cells: readonly string[],
): Unfit[] {
    const faults: Unfit[] = [];
    for (const { name, read } of readers) {
        const value = read(cells, row);
        if (value instanceof Unfit) faults.push(value);
        else row.set(name, value);
    }
    return faults;
}

/** The groups of columns of which a row fills none though the contract wants one. */
function unmeasured(
    contract: TableContract,
    columns: readonly BoundColumn[],
    row: ReadonlyMap<string, Value>,
): Unfit[] {
    return contract.atLeastOneOf
        .filter((group) => group.every((name) => row.get(name) == null))
        .map((group) => {
            const place = columns.find(({ column }) => group.includes(column.name))?.place;
            return new Unfit(place?.kind === 'cells' ? place.at : null, nothingMeasured(group));
        });
}

/**
 * Makes of each row of theirs the rows of ours that the map says; those keep the contract. A fault in a cell that is read
 * for every row of ours costs the whole row of theirs, and is one reject; else each row of ours stands for itself. Where
 * the cells that belong to one row of ours only are all blank, there is no such row.
 */
export function converter(map: ImportMap, binding: Binding): Converter {
    const { contract, shared, folds, theirNames } = binding;
    const names = filledNames(binding);
    const isBlank = blankCells(map);
    const sharedReaders = columnReaders(map, binding, shared);
    const foldReaders = folds.map((fold) => ({
        ...fold,
        given: foldValues(contract, fold),
        all: [...fold.columns, ...shared],
        readers: columnReaders(map, binding, fold.columns),
    }));
    const isUnfolded = Object.keys(map.unfold).length > 0;
    const firstOwn = theirNames[folds.flatMap(({ ownCells }) => ownCells)[0]!] ?? null;

    const convert = (cells: readonly string[]): Converted => {
        const base = new Map<string, Value>();
        const ofAll = readInto(base, sharedReaders, cells);
        const result: Converted = { rows: [], rejects: [] };
        for (const { given, all, readers, ownCells } of foldReaders) {
            if (isUnfolded && ownCells.every((index) => isBlank(cells, index))) continue;
            const row = new Map([...base, ...given]);
            const faults = readInto(row, readers, cells);
            if (faults.length + ofAll.length === 0) faults.push(...unmeasured(contract, all, row));
            if (faults.length > 0) result.rejects.push(together(faults));
            else result.rows.push(names.map((name) => row.get(name) ?? null));
        }
        if (ofAll.length > 0) return { rows: [], rejects: [together([...ofAll, ...result.rejects])] };
        if (result.rows.length + result.rejects.length > 0) return result;
        return { rows: [], rejects: [new Unfit(firstOwn, nothingInRow())] };
    };
    return { names, convert };
}
