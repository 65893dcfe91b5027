import { isUtf8 } from 'node:buffer';
import { byte, maybeBlank, role, roleOf } from './bytes.js';

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

function lineEnd(bytes: Buffer, from: number): number {
    let i = from;
    while (i < bytes.length && roleOf[bytes[i]!] !== role.lineEnd) i++;
    return i;
}

/**
 * Splits UTF-8 text into records as RFC 4180 has it; LF, CRLF and CR end a line, in any mixture. A quotation mark that is
 * not closed properly costs its own physical line only: the next line is a record again.
 */
export class RecordScanner {
    readonly #sink: RecordSink;
    #carry: Buffer = Buffer.alloc(0);
    #line = 1;

    constructor(sink: RecordSink) {
        this.#sink = sink;
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
        const used = this.#scan(bytes, last);
        this.#carry = Buffer.from(bytes.subarray(used));
    }

    /** Hands every complete record to the sink and returns where the first incomplete one begins. */
    #scan(bytes: Buffer, last: boolean): number {
        const n = bytes.length;
        const checked = last ? n : bytes.lastIndexOf(byte.lf) + 1;
        const allUtf8 = isUtf8(bytes.subarray(0, checked));
        let start = 0;
        while (start < n) {
            let i = start;
            let cellStart = start;
            let cells = 1;
            let traits = maybeBlank[bytes[start]!]! * trait.padded;
            let fault = 0;
            let innerLines = 0;
            scan: for (;;) {
                while (i < n && roleOf[bytes[i]!] === 0) i++;
                if (i >= n) {
                    if (!last) return start;
                    break;
                }
                switch (roleOf[bytes[i]!]) {
                    case role.comma:
                        if (maybeBlank[bytes[i - 1]!] === 1 || maybeBlank[bytes[i + 1]!] === 1)
                            traits |= trait.padded;
                        cells++;
                        cellStart = ++i;
                        break;
                    case role.lineEnd:
                        break scan;
                    case role.control:
                        traits |= trait.control;
                        fault ||= cells;
                        i++;
                        break;
                    default: {
                        if (i !== cellStart) {
                            traits |= trait.strayQuote;
                            fault ||= cells;
                            i++;
                            break;
                        }
                        const cell = this.#quotedCell(bytes, i, last);
                        if (cell === null) return start;
                        traits |= cell.traits;
                        if ((cell.traits & malformed) !== 0) fault ||= cells;
                        i = cell.end;
                        if ((cell.traits & (trait.openQuote | trait.afterQuote)) !== 0) {
                            innerLines = 0;
                            i = lineEnd(bytes, start);
                            if (i >= n && !last) return start;
                            break scan;
                        }
                        innerLines += cell.lines;
                    }
                }
            }
            if (i + 1 >= n && !last && bytes[i] === byte.cr) return start;
            if (i > start) traits |= maybeBlank[bytes[i - 1]!]! * trait.padded;
            if (i - start > MAX_RECORD_BYTES) traits |= trait.tooLong;
            if ((!allUtf8 || i > checked) && !isUtf8(bytes.subarray(start, i))) traits |= trait.notUtf8;
            this.#sink(bytes, start, i, this.#line, cells, traits, fault);
            this.#line += 1 + innerLines;
            start = i + (bytes[i] === byte.cr && bytes[i + 1] === byte.lf ? 2 : 1);
        }
        return n;
    }

    /** The quoted cell whose opening mark stands at `open`; null when its end is not in `bytes` yet. */
    #quotedCell(
        bytes: Buffer,
        open: number,
        last: boolean,
    ): { end: number; traits: number; lines: number } | null {
        const n = bytes.length;
        let traits: number = trait.quoted;
        let lines = 0;
        let i = open + 1;
        for (; i < n; i++) {
            const what = roleOf[bytes[i]!];
            if (what === role.quote) {
                if (i + 1 >= n && !last) return null;
                if (bytes[i + 1] !== byte.quote) break;
                i++;
            } else if (what === role.lineEnd) {
                traits |= trait.multiline;
                if (!(bytes[i] === byte.lf && bytes[i - 1] === byte.cr)) lines++;
                if (i - open > MAX_QUOTED_BYTES) return { end: i, traits: trait.openQuote, lines: 0 };
            } else if (what === role.control) traits |= trait.control;
        }
        if (i >= n) {
            if (!last && !(lines > 0 && i - open > MAX_QUOTED_BYTES)) return null;
            return { end: n, traits: trait.openQuote, lines: 0 };
        }
        const after = bytes[i + 1];
        if (after !== undefined && after !== byte.comma && roleOf[after] !== role.lineEnd) {
            return { end: i, traits: lines > 0 ? trait.openQuote : trait.afterQuote, lines: 0 };
        }
        const edge = (code: number) => maybeBlank[code] === 1 || roleOf[code] === role.lineEnd;
        if (i > open + 1 && (edge(bytes[open + 1]!) || edge(bytes[i - 1]!))) traits |= trait.padded;
        return { end: i + 1, traits, lines };
    }
}
