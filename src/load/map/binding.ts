import type { ColumnSource } from '../../contracts/map.js';
import type { Column, TableContract } from '../../contracts/table.js';

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
