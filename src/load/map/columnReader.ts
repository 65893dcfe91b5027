import type { ImportMap } from '../../contracts/map.js';
import type { Binding, BoundColumn, Cell, Place } from './binding.js';
import { cellText, type Taken, Unfit } from './cellText.js';
import { checkedValue, type Value, valueReader } from './cellValue.js';
import { sweepReader } from './sweepReader.js';

/** Reads one of our columns from a row of theirs; `row` holds what was read before. */
export interface ColumnReader {
    name: string;
    read: (cells: readonly string[], row: ReadonlyMap<string, Value>) => Value | Unfit;
}

/** Tells which cells of theirs count as blank. */
export function blankCells(map: ImportMap): (cells: readonly string[], index: number) => boolean {
    const blanks = new Set(['', ...map.blank.map((text) => text.trim())]);
    return (cells, index) => blanks.has(cells[index] ?? '');
}

/** A sweep needs the other columns of the row, a flip its corner. */
function turn({ column, place }: BoundColumn): number {
    if (column.name === 'corner') return 0;
    return place.kind === 'sweep' ? 2 : 1;
}

type Take<P> = (cells: readonly string[], place: P) => Taken;

function takers(map: ImportMap, theirNames: readonly string[]) {
    const isBlank = blankCells(map);
    const cell: Take<Cell> = (cells, { index }) => ({
        text: isBlank(cells, index) ? '' : cells[index]!,
        at: theirNames[index]!,
    });
    const joined: Take<Place & { kind: 'cells' }> = (cells, { parts, at }) => {
        const texts = parts.map((part) => (typeof part === 'string' ? part : cell(cells, part).text));
        const isEmpty = parts.every((part, i) => typeof part === 'string' || texts[i] === '');
        return { text: isEmpty ? '' : texts.join('').trim(), at };
    };
    return { cell, joined };
}

/** Readers of columns, in the order in which a row is to be read. */
export function columnReaders(
    map: ImportMap,
    { contract, theirNames }: Binding,
    columns: readonly BoundColumn[],
): ColumnReader[] {
    const { cell, joined } = takers(map, theirNames);
    const camber = contract.columns.find(({ name }) => name === 'camber_deg')!;
    const reader = ({ column, source, place }: BoundColumn): ColumnReader['read'] => {
        if (place.kind === 'sweep') {
            const read = sweepReader(camber, source, map.decimal);
            return (cells, row) => {
                const left = cell(cells, place.left);
                const right = cell(cells, place.right);
                const steer = typeof place.steer === 'number' ? place.steer : cell(cells, place.steer);
                const value = read({ left, right, steer }, row);
                return value instanceof Unfit ? value : checkedValue(contract, column, value, left);
            };
        }
        const toText = cellText(column.name, source);
        const toValue = valueReader(column, source, map.decimal);
        return (cells, row) => {
            const found = place.kind === 'constant' ? { text: place.text, at: null } : joined(cells, place);
            const taken = toText(found);
            if (taken instanceof Unfit) return taken;
            const value = taken.text === '' ? null : toValue(taken, row.get('corner') ?? null);
            return value instanceof Unfit ? value : checkedValue(contract, column, value, taken);
        };
    };
    return [...columns]
        .sort((a, b) => turn(a) - turn(b))
        .map((bound) => ({ name: bound.column.name, read: reader(bound) }));
}
