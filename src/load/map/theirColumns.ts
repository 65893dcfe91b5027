/** `name` without white space at its ends, line ends and runs of spaces inside as one space, in Unicode form C. */
export const tidyName = (name: string) => name.replace(/\s+/g, ' ').trim().normalize('NFC');

/** Blank cells of all but the last header row belong to the cell on their left, as in merged cells. */
function filledFromLeft(row: readonly string[]): string[] {
    const filled: string[] = [];
    for (const cell of row) filled.push(cell === '' ? (filled.at(-1) ?? '') : cell);
    return filled;
}

/**
 * Names of the columns of a file from its header rows: joined by a space where there are several rows, `column 3` where
 * there is none, `Note (2)` where a name comes again. Without header rows the columns are `1`, `2`, ...
 */
export function theirColumns(rows: readonly (readonly string[])[], columnCount: number): string[] {
    if (rows.length === 0) return Array.from({ length: columnCount }, (_, i) => String(i + 1));
    const upper = rows.slice(0, -1).map((row) => filledFromLeft(row.map(tidyName)));
    const seen = new Map<string, number>();
    return Array.from({ length: columnCount }, (_, i) => {
        const parts = [...upper, rows.at(-1)!.map(tidyName)].map((row) => row[i] ?? '');
        const name = tidyName(parts.join(' ')) || `column ${i + 1}`;
        const times = (seen.get(name) ?? 0) + 1;
        seen.set(name, times);
        return times === 1 ? name : `${name} (${times})`;
    });
}
