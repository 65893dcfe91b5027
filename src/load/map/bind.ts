import type { ColumnSource, ImportMap } from '../../contracts/map.js';
import type { Column, TableContract } from '../../contracts/table.js';
import { tableOf } from '../../contracts/tables.js';
import { UserError } from '../../errors/errors.js';
import {
    foldUnused,
    mapUnfit,
    noSuchColumn,
    oneColumn,
    twoColumns,
    unusedColumns,
} from '../../errors/mapMessages.js';
import { nearestName } from '../nearestName.js';
import { expanded, type Fold, foldsOf } from './folds.js';
import { tidyName } from './theirColumns.js';

/** A cell of a row of theirs. */
export interface Cell {
    index: number;
}

/** Where the text of one of our columns stands in a row of theirs. */
export type Place =
    | { kind: 'constant'; text: string }
    | { kind: 'cells'; parts: (string | Cell)[]; at: string }
    | { kind: 'sweep'; left: Cell; right: Cell; steer: Cell | number };

export interface BoundColumn {
    column: Column;
    source: ColumnSource;
    place: Place;
}

/** One of the rows that a row of theirs becomes. */
export interface BoundFold {
    values: Record<string, string>;
    columns: BoundColumn[];
    /** Cells that are read for this row and not for every row; all blank = there is no such row. */
    ownCells: number[];
}

/** A map fitted to the columns of a file. */
export interface Binding {
    contract: TableContract;
    theirNames: readonly string[];
    /** Columns that are the same in all rows made of one. */
    shared: BoundColumn[];
    folds: BoundFold[];
    dropIndex: (number | null)[];
}

/** What a source says about their columns, words of unfold still in braces. */
function templatesOf({ column, text, sweep }: ColumnSource): string[] {
    if (sweep === undefined) return [column ?? text ?? ''];
    const { left, right, steer_deg } = sweep;
    return [left, right, ...(typeof steer_deg === 'string' ? [steer_deg] : [])];
}

/** Names of their columns that a source reads with these words. */
function namesOf(source: ColumnSource, words: Record<string, string>): string[] {
    if (source.constant !== undefined) return [];
    const texts = templatesOf(source).map((template) => expanded(template, words));
    if (source.text === undefined) return texts;
    return [...texts[0]!.matchAll(/\{([^{}]+)\}/g)].map(([, name]) => name!);
}

class Binder {
    readonly #map: ImportMap;
    readonly #index: Map<string, number>;
    readonly used = new Set<number>();
    readonly usedWords = new Set<string>();
    readonly faults: string[] = [];

    constructor(map: ImportMap, theirNames: readonly string[]) {
        this.#map = map;
        this.#index = new Map(theirNames.map((name, index) => [name, index]));
    }

    indexOf(name: string): number | undefined {
        return this.#index.get(tidyName(name));
    }

    /** Whether a source is worded anew for each row that is made of one. */
    isTemplate(source: ColumnSource): boolean {
        return Object.keys(this.#map.unfold).some((name) => this.#mentions(source, name));
    }

    #mentions(source: ColumnSource, name: string): boolean {
        return templatesOf(source).some((template) => template.includes(`{${name}}`));
    }

    missing(where: string, name: string): void {
        const names = new Map([...this.#index.keys()].map((one) => [one.toLowerCase(), one]));
        const nearest = names.get(nearestName(name, [...names.keys()]) ?? '') ?? null;
        this.faults.push(noSuchColumn(where, name, nearest));
    }

    /** The place for one way to word a fold; null where the file lacks a column of it. */
    #placeFor(source: ColumnSource, words: Record<string, string>): Place | null {
        const names = namesOf(source, words);
        const indices = names.map((name) => this.indexOf(name));
        if (indices.some((index) => index === undefined)) return null;
        for (const index of indices) this.used.add(index!);
        for (const [name, word] of Object.entries(words)) {
            if (this.#mentions(source, name)) this.usedWords.add(`${name} ${word}`);
        }
        const cells = indices.map((index) => ({ index: index! }));
        if (source.constant !== undefined) return { kind: 'constant', text: source.constant };
        if (source.column !== undefined) return { kind: 'cells', parts: cells, at: names[0]! };
        if (source.text !== undefined) {
            const parts = expanded(source.text, words).split(/\{[^{}]+\}/);
            return {
                kind: 'cells',
                parts: parts.flatMap((part, i) => [part, ...cells.slice(i, i + 1)]),
                at: names[0] ?? '',
            };
        }
        const [left, right, steer] = cells as [Cell, Cell, Cell | undefined];
        return { kind: 'sweep', left, right, steer: steer ?? (source.sweep!.steer_deg as number) };
    }

    place(name: string, source: ColumnSource, fold: Fold): Place | null {
        const places = new Map<string, Place>();
        for (const words of fold.words) {
            const place = this.#placeFor(source, words);
            if (place !== null) places.set(JSON.stringify(place), place);
        }
        if (places.size > 1) this.faults.push(twoColumns(name, Object.values(fold.values)));
        return [...places.values()][0] ?? null;
    }

    /** Faults of a source that found no place in any fold. */
    placeless(name: string, source: ColumnSource): void {
        for (const template of namesOf(source, {})) {
            if (this.indexOf(template) === undefined) this.missing(name, template);
        }
    }
}

function cellsOf(place: Place): number[] {
    if (place.kind === 'constant') return [];
    const parts = place.kind === 'sweep' ? [place.left, place.right, place.steer] : place.parts;
    return parts.flatMap((part) => (typeof part === 'object' ? [part.index] : []));
}

function wordFaults(binder: Binder, { unfold }: ImportMap): string[] {
    return Object.entries(unfold).flatMap(([name, words]) =>
        Object.keys(words)
            .filter((word) => !binder.usedWords.has(`${name} ${word}`))
            .map((word) => foldUnused(name, word)),
    );
}

/**
 * Fits a map to the names of the columns of a file. Throws a {@link UserError} that names every column that the map wants
 * and the file lacks, every column of the file that the map neither uses nor ignores, and every word of unfold without one.
 */
export function bind(
    map: ImportMap,
    mapFile: string,
    theirNames: readonly string[],
    where: { file: string; line: number },
    contract: TableContract = tableOf(map.kind),
): Binding {
    const binder = new Binder(map, theirNames);
    const folds = foldsOf(map.unfold);
    const shared: BoundColumn[] = [];
    const bound: BoundFold[] = folds.map(({ values }) => ({ values, columns: [], ownCells: [] }));
    for (const column of contract.columns) {
        const source = map.columns[column.name];
        if (source === undefined) continue;
        const places = folds.map((fold) => binder.place(column.name, source, fold));
        if (places.every((place) => place === null)) binder.placeless(column.name, source);
        const isOwn = binder.isTemplate(source);
        const isShared = !isOwn && source.sweep === undefined && typeof source.flip === 'boolean';
        if (isShared && places[0] != null) shared.push({ column, source, place: places[0] });
        else {
            for (const [i, place] of places.entries()) {
                if (place === null) continue;
                bound[i]!.columns.push({ column, source, place });
                if (isOwn) bound[i]!.ownCells.push(...cellsOf(place));
            }
        }
    }
    const dropIndex = map.drop.map(({ column }, i) => {
        if (column === undefined) return null;
        const index = binder.indexOf(column);
        if (index === undefined) binder.missing(`drop ${i + 1}`, column);
        else binder.used.add(index);
        return index ?? null;
    });
    const ignored = new Set(map.ignore.map((name) => binder.indexOf(name)));
    const unused = theirNames.filter((_, index) => !binder.used.has(index) && !ignored.has(index));
    const faults = [
        ...(theirNames.length === 1 && Object.keys(map.columns).length > 1 ? [oneColumn()] : []),
        ...binder.faults,
        // Where a column is missing, so are its words.
        ...(binder.faults.length > 0 ? [] : wordFaults(binder, map)),
        ...(unused.length > 0 ? [unusedColumns(unused)] : []),
    ];
    if (faults.length > 0) throw new UserError(mapUnfit(where.file, where.line, mapFile, faults));
    return { contract, theirNames, shared, folds: bound, dropIndex };
}
