/** A column as a page carries it: as it is, as runs of equal values, or as places in a list of its values. */
export type PackedColumn = readonly unknown[] | { of: readonly unknown[]; runs?: number[]; at?: number[] };

/** The shortest of the three ways to write `values`. */
export function packColumn(values: readonly unknown[]): PackedColumn {
    const starts = values.flatMap((value, place) =>
        place > 0 && value === values[place - 1] ? [] : [place],
    );
    const runs = starts.map((start, run) => (starts[run + 1] ?? values.length) - start);
    const of = [...new Set(values)];
    const ways: PackedColumn[] = [
        values,
        { of: starts.map((start) => values[start]), runs },
        { of, at: values.map((value) => of.indexOf(value)) },
    ];
    const length = (way: PackedColumn) => JSON.stringify(way).length;
    return ways.reduce((best, way) => (length(way) < length(best) ? way : best));
}

/** The values that {@link packColumn} packed. */
export function unpackColumn(column: PackedColumn): readonly unknown[] {
    if (!('of' in column)) return column;
    const { of, runs, at } = column;
    return at?.map((place) => of[place]) ?? runs!.flatMap((count, run) => Array(count).fill(of[run]));
}
