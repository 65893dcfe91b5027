import type { ImportMap } from '../../contracts/map.js';
import type { TableContract } from '../../contracts/table.js';
import { tableOf } from '../../contracts/tables.js';
import { UserError } from '../../errors/errors.js';
import { foldUnused, mapUnfit, oneColumn, unusedColumns } from '../../errors/mapMessages.js';
import { Binder } from './binder.js';
import type { Binding, BoundColumn, BoundFold, Place } from './binding.js';
import { type Fold, foldsOf } from './folds.js';

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
    const folds = foldsOf(map);
    const shared: BoundColumn[] = [];
    const bound: BoundFold[] = folds.map(({ values }) => ({ values, columns: [], ownCells: [] }));
    for (const column of contract.columns) {
        const source = map.columns[column.name];
        if (source === undefined) continue;
        const isMeant = ({ values }: Fold) => source.only === 'all' || values.phase === source.only;
        const places = folds.map((fold) => (isMeant(fold) ? binder.place(column.name, source, fold) : null));
        if (places.every((place) => place === null)) binder.placeless(column.name, source);
        const isOwn = binder.isTemplate(source);
        const isShared =
            !isOwn && source.only === 'all' && source.sweep === undefined && typeof source.flip === 'boolean';
        if (isShared && places[0] != null) shared.push({ column, source, place: places[0] });
        else {
            for (const [i, place] of places.entries()) {
                if (place === null) continue;
                bound[i]!.columns.push({ column, source, place });
                if (isOwn && column.name !== 'corner') bound[i]!.ownCells.push(...cellsOf(place));
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
