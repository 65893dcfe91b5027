import type { ImportMap } from '../../contracts/map.js';
import { blankCells } from './columnReader.js';
import { linearPattern } from './linearPattern.js';

/** Tells whether the map drops a row; `cells` may be fewer than the header has, as in a footer. */
export function drops(
    map: ImportMap,
    dropIndex: readonly (number | null)[],
): (line: string, cells: readonly string[]) => boolean {
    const isBlank = blankCells(map);
    const conditions = map.drop.map(({ pattern, line }, i) => {
        const expression = linearPattern(line ?? pattern ?? '');
        const index = dropIndex[i];
        if (index == null) return (text: string) => expression.test(text);
        if (pattern === undefined) return (_: string, cells: readonly string[]) => isBlank(cells, index);
        return (_: string, cells: readonly string[]) => expression.test(cells[index] ?? '');
    });
    return (line, cells) => conditions.some((condition) => condition(line, cells));
}
