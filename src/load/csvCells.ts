import { type Dialect, ourDialect } from './bytes.js';

const blanks = ' \t\r\n\u00a0';

/** `cell` without the white space at its edges. */
function trimmed(cell: string): string {
    let start = 0;
    let end = cell.length;
    while (start < end && blanks.includes(cell[start]!)) start++;
    while (end > start && blanks.includes(cell[end - 1]!)) end--;
    return cell.slice(start, end);
}

/** Splits one well-formed record into its cells, without the white space at their edges. */
export function cellSplitter({ delimiter, quoted }: Dialect): (record: string) => string[] {
    const plain = `[^\\u{${delimiter.charCodeAt(0).toString(16)}}]*`;
    const cell = new RegExp(quoted ? `"([^"]*(?:""[^"]*)*)"|${plain}` : plain, 'uy');
    return (record) => {
        const cells: string[] = [];
        cell.lastIndex = 0;
        for (;;) {
            const [all, inner] = cell.exec(record)!;
            cells.push(trimmed(inner === undefined ? all : inner.replaceAll('""', '"')));
            if (cell.lastIndex >= record.length) return cells;
            cell.lastIndex++;
            if (cell.lastIndex === record.length) return [...cells, ''];
        }
    };
}

/** Cells of one well-formed record, as RFC 4180 has it, without the white space at their edges. */
export const csvCells = cellSplitter(ourDialect);

/** `value` as a quoted CSV cell; the empty text as an empty one. */
export const quotedCell = (value: string) => (value === '' ? '' : `"${value.replaceAll('"', '""')}"`);

/** Whether a record holds nothing but delimiters and white space: an empty line, or a spreadsheet's empty row. */
export const isBlankRecord = (record: string) => /^[, \t\r\n\u00a0]*$/.test(record);

/** Whether a record is the line that tells a spreadsheet what stands between the cells: `sep=,`. */
export const isSeparatorHint = (record: string) => /^"?sep=[^"]"?,*$/i.test(record);
