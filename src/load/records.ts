import { isUtf8 } from 'node:buffer';
import { byte, type Dialect, FIRST_ENDING_MARK, mark, marksOf, ourDialect } from './bytes.js';

/** What is special about a record; a bit mask. */
export const trait = {
    quoted: 1,
    /** A quoted cell holds a line end. */
    multiline: 2,
    /** White space may stand at the edge of a cell. */
    padded: 4,
    /** From here on the record is no CSV row. */
    control: 8,
    strayQuote: 16,
    openQuote: 32,
    afterQuote: 64,
    notUtf8: 128,
    tooLong: 256,
} as const;

export const malformed =
    trait.control | trait.strayQuote | trait.openQuote | trait.afterQuote | trait.notUtf8 | trait.tooLong;

/** A record of the contract cannot be longer: 27 cells of 2,000 characters of 4 bytes, rounded up. */
export const MAX_RECORD_BYTES = 256 * 1024;

/** A quoted cell over several lines cannot be longer: 2,000 characters of 4 bytes, or as many doubled quotation marks. */
const MAX_QUOTED_BYTES = 16 * 1024;

/**
 * Receives one record: `bytes[start, end)` without its line end, the physical line on which it begins (1, 2, ...), its
 * number of cells, its {@link trait}s and, when malformed, the cell (1, 2, ...) where the trouble lies.
 */
export type RecordSink = (
    bytes: Buffer,
    start: number,
    end: number,
    line: number,
    cells: number,
    traits: number,
    cellAtFault: number,
) => void;

function lineEnd(bytes: Buffer, from: number, marks: Uint8Array): number {
    let i = from;
    while (i < bytes.length && marks[bytes[i]!] !== mark.lineEnd) i++;
    return i;
}

function isBlank(code: number | undefined, marks: Uint8Array): boolean {
    return code !== undefined && marks[code] === mark.blank;
}

/** A record found in the bytes: `end` is where its line end stands, `next` where the following record begins. */
interface Found {
    end: number;
    next: number;
    cells: number;
    traits: number;
    cellAtFault: number;
    innerLines: number;
}

/**
 * Splits UTF-8 text into records as RFC 4180 has it; LF, CRLF and CR end a line, in any mixture. A quotation mark that is
 * not closed properly costs its own physical line only: the next line is a record again.
 */
export class RecordScanner {
    readonly #sink: RecordSink;
    readonly #marks: Uint8Array;
    #carry: Buffer = Buffer.alloc(0);
    #line = 1;

    constructor(sink: RecordSink, dialect: Dialect = ourDialect) {
        this.#sink = sink;
        this.#marks = marksOf(dialect);
    }

    /** Physical line on which the next record begins. */
    get line(): number {
        return this.#line;
    }

    /** Bytes that wait for the end of their record. */
    get pending(): number {
        return this.#carry.length;
    }

    /** Takes the next bytes of the file; `last` when none follow. */
    push(chunk: Buffer, last: boolean): void {
        const bytes = this.#carry.length === 0 ? chunk : Buffer.concat([this.#carry, chunk]);
        // A line that goes on through the whole chunk is not looked through again.
        if (!last && bytes !== chunk && !chunk.includes(byte.lf) && !chunk.includes(byte.cr)) {
            this.#carry = bytes;
            return;
        }
        const used = this.#scan(bytes, last);
        this.#carry = Buffer.from(bytes.subarray(used));
    }

    /** Hands every complete record to the sink and returns where the first incomplete one begins. */
    #scan(bytes: Buffer, last: boolean): number {
        const checked = last ? bytes.length : bytes.lastIndexOf(byte.lf) + 1;
        const allUtf8 = isUtf8(bytes.subarray(0, checked));
        const found: Found = { end: 0, next: 0, cells: 0, traits: 0, cellAtFault: 0, innerLines: 0 };
        const marks = this.#marks;
        let start = 0;
        while (start < bytes.length) {
            if (!plainRecord(bytes, start, found, marks) && !anyRecord(bytes, start, last, found, marks)) {
                return start;
            }
            const { end } = found;
            let { traits } = found;
            if (end - start > MAX_RECORD_BYTES) traits |= trait.tooLong;
            if ((!allUtf8 || end > checked) && !isUtf8(bytes.subarray(start, end))) traits |= trait.notUtf8;
            this.#sink(bytes, start, end, this.#line, found.cells, traits, found.cellAtFault);
            this.#line += 1 + found.innerLines;
            start = found.next;
        }
        return start;
    }
}

/** Finds a record without quotation marks, control characters and lone CR, as nearly all are; false where it is another. */
function plainRecord(bytes: Buffer, start: number, found: Found, marks: Uint8Array): boolean {
    const n = bytes.length;
    let commas = 0;
    let padding = 0;
    let before: number = mark.comma;
    let i = start;
    let code = 0;
    for (; i < n; i++) {
        code = marks[bytes[i]!]!;
        if (code >= FIRST_ENDING_MARK) break;
        commas += code & mark.comma;
        // Not zero where a blank stands next to a comma.
        padding |= (before & (code << 1)) | (code & (before << 1));
        before = code;
    }
    if (i >= n || code !== mark.lineEnd) return false;
    const isCrLf = bytes[i] === byte.cr && bytes[i + 1] === byte.lf;
    if (bytes[i] === byte.cr && !isCrLf) return false;
    found.end = i;
    found.next = i + (isCrLf ? 2 : 1);
    found.cells = commas + 1;
    found.traits = ((padding | before) & mark.blank) !== 0 ? trait.padded : 0;
    found.cellAtFault = 0;
    found.innerLines = 0;
    return true;
}

/** Finds any record; false where its end is not in `bytes` yet. */
function anyRecord(bytes: Buffer, start: number, last: boolean, found: Found, marks: Uint8Array): boolean {
    const n = bytes.length;
    let i = start;
    let cellStart = start;
    let cells = 1;
    let traits: number = isBlank(bytes[start], marks) ? trait.padded : 0;
    let cellAtFault = 0;
    let innerLines = 0;
    scan: while (i < n) {
        switch (marks[bytes[i]!]) {
            case mark.comma:
                if (isBlank(bytes[i - 1], marks) || isBlank(bytes[i + 1], marks)) traits |= trait.padded;
                cells++;
                cellStart = ++i;
                break;
            case mark.lineEnd:
                break scan;
            case mark.control:
                traits |= trait.control;
                cellAtFault ||= cells;
                i++;
                break;
            case mark.quote: {
                if (i !== cellStart) {
                    traits |= trait.strayQuote;
                    cellAtFault ||= cells;
                    i++;
                    break;
                }
                const cell = quotedCell(bytes, i, last, marks);
                if (cell === null) return false;
                traits |= cell.traits;
                if ((cell.traits & malformed) !== 0) cellAtFault ||= cells;
                i = cell.end;
                innerLines += cell.lines;
                if ((cell.traits & (trait.openQuote | trait.afterQuote)) !== 0) {
                    innerLines = 0;
                    i = lineEnd(bytes, start, marks);
                    break scan;
                }
                break;
            }
            default:
                i++;
        }
    }
    if (!last && (i >= n || (bytes[i] === byte.cr && i + 1 >= n))) return false;
    if (i > start && isBlank(bytes[i - 1], marks)) traits |= trait.padded;
    found.end = i;
    found.next = i + (bytes[i] === byte.cr && bytes[i + 1] === byte.lf ? 2 : 1);
    found.cells = cells;
    found.traits = traits;
    found.cellAtFault = cellAtFault;
    found.innerLines = innerLines;
    return true;
}

/** The quoted cell whose opening mark stands at `open`; null when its end is not in `bytes` yet. */
function quotedCell(
    bytes: Buffer,
    open: number,
    last: boolean,
    marks: Uint8Array,
): { end: number; traits: number; lines: number } | null {
    const n = bytes.length;
    let traits: number = trait.quoted;
    let lines = 0;
    let i = open + 1;
    for (; i < n; i++) {
        const code = marks[bytes[i]!];
        if (code === mark.quote) {
            if (i + 1 >= n && !last) return null;
            if (bytes[i + 1] !== byte.quote) break;
            i++;
        } else if (code === mark.lineEnd) {
            traits |= trait.multiline;
            if (!(bytes[i] === byte.lf && bytes[i - 1] === byte.cr)) lines++;
            if (i - open > MAX_QUOTED_BYTES) return { end: i, traits: trait.openQuote, lines: 0 };
        } else if (code === mark.control) traits |= trait.control;
    }
    if (i >= n) {
        if (!last && !(lines > 0 && i - open > MAX_QUOTED_BYTES)) return null;
        return { end: n, traits: trait.openQuote, lines: 0 };
    }
    const after = bytes[i + 1];
    if (after !== undefined && marks[after] !== mark.comma && marks[after] !== mark.lineEnd) {
        return { end: i, traits: lines > 0 ? trait.openQuote : trait.afterQuote, lines: 0 };
    }
    const isEdge = (code: number) => isBlank(code, marks) || marks[code] === mark.lineEnd;
    if (i > open + 1 && (isEdge(bytes[open + 1]!) || isEdge(bytes[i - 1]!))) traits |= trait.padded;
    return { end: i + 1, traits, lines };
}
