import type { Dialect } from '../../bytes.js';
import { cellSplitter } from '../../csvCells.js';
import { malformed, RecordScanner } from '../../records.js';
import { theirColumns } from '../theirColumns.js';
import { headerWords } from './headerWords.js';

/** One record of a file, blank ones left out. */
export interface GuessRow {
    line: number;
    text: string;
    cells: string[];
}

/** How the cells and rows of a file seem to lie. */
export interface Layout {
    dialect: Dialect;
    skipLines: number;
    headerLines: number;
    names: string[];
    /** Rows below the header, whatever they are. */
    rows: GuessRow[];
    /** What stands above the header. */
    titles: string[];
}

/** The delimiter shows in the first rows. */
const ENOUGH_CHARACTERS = 100_000;

function rowsOf(text: string, dialect: Dialect): { rows: GuessRow[]; malformedCount: number } {
    const split = cellSplitter(dialect);
    const rows: GuessRow[] = [];
    let malformedCount = 0;
    const scanner = new RecordScanner((bytes, start, end, line, _, traits) => {
        const record = bytes.toString('utf8', start, end);
        const isMalformed = (traits & malformed) !== 0;
        if (isMalformed) malformedCount++;
        const cells = isMalformed
            ? record.split(dialect.delimiter).map((cell) => cell.trim())
            : split(record);
        if (cells.some((cell) => cell !== '')) rows.push({ line, text: record, cells });
    }, dialect);
    scanner.push(Buffer.from(text), true);
    return { rows, malformedCount };
}

/** The number of cells that most rows have. */
function usualCount(rows: readonly GuessRow[]): { cells: number; share: number } {
    const counts = new Map<number, number>();
    for (const { cells } of rows) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
    const [cells, times] = [...counts].sort((a, b) => b[1] - a[1] || b[0] - a[0])[0] ?? [0, 0];
    return { cells, share: rows.length === 0 ? 0 : times / rows.length };
}

/** The delimiter that cuts most rows into the same number of cells, of several as many as possible. */
function dialectFor(text: string): Dialect {
    const judged = [',', ';', '\t', '|'].map((delimiter) => {
        const { cells, share } = usualCount(rowsOf(text, { delimiter, quoted: true }).rows);
        return { delimiter, score: cells < 2 ? 0 : share * Math.log2(cells) };
    });
    const { delimiter } = judged.sort((a, b) => b.score - a.score)[0]!;
    // Where inches or seconds are marked by it, a quotation mark stands in most rows.
    const { rows, malformedCount } = rowsOf(text, { delimiter, quoted: true });
    return { delimiter, quoted: malformedCount <= rows.length / 5 };
}

/** Numbers, angles, dates: no names of columns. */
const hasNumber = ({ cells }: GuessRow) => cells.some((cell) => /^[+−-]?\d[\d\s.,:°'"′″/-]*$/.test(cell));

/** How many columns a header names that have a word of the trade, and how well they are told apart. */
function likeness(names: readonly string[]): number {
    const known = names.map((name) => headerWords(name, false)).filter(({ role }) => role !== null);
    const places = known.filter(({ spans }) => spans.length > 0).length;
    const repeated = names.filter((name) => / \(\d+\)$|^column \d+$/.test(name)).length;
    return known.length + places / 2 - repeated / 2;
}

/** Where the header stands: among the first rows, the one or two that name most columns by words of the trade. */
function headerOf(rows: readonly GuessRow[]): { at: number; count: number } {
    const { cells: columnCount } = usualCount(rows);
    const candidates = rows.slice(0, 30).flatMap((row, at) => {
        const filled = row.cells.filter((cell) => cell !== '').length;
        const next = rows[at + 1];
        const counts = hasNumber(row) ? [] : [1];
        if (counts.length > 0 && at + 2 < rows.length && !hasNumber(next!)) counts.push(2);
        return counts.map((count) => {
            const names = theirColumns(
                rows.slice(at, at + count).map(({ cells }) => cells),
                columnCount,
            );
            return { at, count, score: likeness(names) + filled / columnCount - at / 100 - count / 2 };
        });
    });
    const best = candidates.sort((a, b) => b.score - a.score)[0];
    return best ?? { at: 0, count: 0 };
}

/** Guesses delimiter, quotation, title lines and header of a text. */
export function layoutOf(text: string): Layout {
    const dialect = dialectFor(text.slice(0, ENOUGH_CHARACTERS));
    const { rows } = rowsOf(text, dialect);
    const { at, count } = headerOf(rows);
    const header = rows.slice(at, at + count);
    const columnCount =
        count === 0 ? usualCount(rows).cells : Math.max(...header.map(({ cells }) => cells.length));
    return {
        dialect,
        skipLines: count === 0 ? 0 : header[0]!.line - 1,
        headerLines: count,
        names: theirColumns(
            header.map(({ cells }) => cells),
            columnCount,
        ),
        rows: rows.slice(at + count),
        titles: rows.slice(0, at).map(({ cells }) => cells.join(' ').trim().slice(0, 40)),
    };
}
