const cell = /"([^"]*(?:""[^"]*)*)"|[^,]*/y;

const blankEdges = /^[ \t\r\n\u00a0]+|[ \t\r\n\u00a0]+$/g;

/** Cells of one well-formed record, as RFC 4180 has it, without the white space at their edges. */
export function csvCells(record: string): string[] {
    const cells: string[] = [];
    cell.lastIndex = 0;
    for (;;) {
        const [all, quoted] = cell.exec(record)!;
        cells.push((quoted === undefined ? all : quoted.replaceAll('""', '"')).replace(blankEdges, ''));
        if (cell.lastIndex >= record.length) return cells;
        cell.lastIndex++;
        if (cell.lastIndex === record.length) return [...cells, ''];
    }
}

/** `value` as a quoted CSV cell; the empty text as an empty one. */
export function quotedCell(value: string): string {
    return value === '' ? '' : `"${value.replaceAll('"', '""')}"`;
}

/** Whether a record holds nothing but delimiters and white space: an empty line, or a spreadsheet's empty row. */
export function isBlankRecord(record: string): boolean {
    return /^[, \t\r\n\u00a0]*$/.test(record);
}
