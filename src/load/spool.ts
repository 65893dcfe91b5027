import { closeSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import {
    afterQuote,
    controlCharacter,
    namelessCell,
    notUtf8,
    openQuote,
    raggedRow,
    rowTooLong,
    strayQuote,
} from '../errors/loadMessages.js';
import { byte } from './bytes.js';
import { csvCells, isBlankRecord, quotedCell } from './csvCells.js';
import type { Header } from './header.js';
import { MAX_RECORD_BYTES, malformed, type RecordSink, trait } from './records.js';

/** A record that is no row of the table. */
export interface Malformed {
    line: number;
    column: string | null;
    reason: string;
    /** The record as text, and its bytes where they are not this text in UTF-8. */
    text: string;
    bytes: Buffer | null;
}

/**
 * A stretch of a file, spooled for DuckDB. `clean` holds rows as they stand behind their line number in ten digits;
 * `odd` holds line number, original text and trimmed cells of rows with inner line ends or white space to trim.
 */
export interface Piece {
    clean: string | null;
    odd: string | null;
    rowCount: number;
    malformed: Malformed[];
    /** With a map: rows of the file behind the header, and how many of them the map drops. */
    sourceRowCount: number;
    droppedRowCount: number;
}

export const LINE_DIGITS = 10;
const ZERO = 0x30;

/** Enough to keep DuckDB busy while the next piece is split, and few enough statements. */
const PIECE_BYTES = 128 * 1024 * 1024;
const MALFORMED_BYTES = 16 * 1024 * 1024;

/** More at a time is no faster; less in a small file, as memory outside the heap is dear where there are many. */
const BUFFER_BYTES = 1024 * 1024;

class SpoolFile {
    readonly path: string;
    buffer: Buffer;
    readonly #handle: number;
    #used = 0;
    byteCount = 0;

    constructor(path: string, bufferBytes: number) {
        this.path = path;
        this.buffer = Buffer.allocUnsafe(bufferBytes);
        this.#handle = openSync(path, 'wx', 0o600);
    }

    /** Makes room in {@link buffer} for `size` bytes and returns where; the caller fills them. */
    reserve(size: number): number {
        if (this.#used + size > this.buffer.length) {
            this.#flush();
            if (size > this.buffer.length) this.buffer = Buffer.allocUnsafe(2 * size);
        }
        const at = this.#used;
        this.#used += size;
        this.byteCount += size;
        return at;
    }

    #flush(): void {
        let done = 0;
        while (done < this.#used) done += writeSync(this.#handle, this.buffer, done, this.#used - done);
        this.#used = 0;
    }

    close(): void {
        try {
            this.#flush();
        } finally {
            closeSync(this.#handle);
        }
    }
}

const newPiece = (): Piece => ({
    clean: null,
    odd: null,
    rowCount: 0,
    malformed: [],
    sourceRowCount: 0,
    droppedRowCount: 0,
});

/** Sorts the records of one file into pieces; {@link add} is the sink of a record scanner. */
export class Spool {
    readonly #folder: string;
    readonly #names: readonly string[];
    readonly #width: number;
    #headerLine = 0;
    #base = 0;
    readonly #bufferBytes: number;
    #clean: SpoolFile | null = null;
    #odd: SpoolFile | null = null;
    #piece = newPiece();
    #malformedBytes = 0;
    #pieceCount = 0;

    /** For rows of `width` cells, with the columns `names` and blank ones behind them, of about `byteCount` bytes. */
    constructor(folder: string, { names, width }: Pick<Header, 'names' | 'width'>, byteCount: number) {
        this.#folder = folder;
        this.#names = names;
        this.#width = width;
        this.#bufferBytes = Math.min(BUFFER_BYTES, 2 * byteCount);
    }

    /** Begins with a file, or goes on with another of the same columns: its lines are counted on from `base`. */
    goOn(headerLine: number, base = 0): void {
        this.#headerLine = headerLine;
        this.#base = base;
    }

    /** Rows since the last cut. */
    get rowCount(): number {
        return this.#piece.rowCount;
    }

    get isFull(): boolean {
        const byteCount = (this.#clean?.byteCount ?? 0) + (this.#odd?.byteCount ?? 0);
        return byteCount > PIECE_BYTES || this.#malformedBytes > MALFORMED_BYTES;
    }

    readonly add: RecordSink = (bytes, start, end, line, cells, traits, cellAtFault) => {
        // Shorter than this it is nothing but delimiters: an empty line, or a spreadsheet's empty row.
        if (line <= this.#headerLine || end - start < cells) return;
        const counted = this.#base + line;
        if (
            (traits === 0 || traits === trait.quoted) &&
            cells === this.#width &&
            cells === this.#names.length
        ) {
            this.#addClean(bytes, start, end, counted);
            return;
        }
        this.#addOther(Buffer.from(bytes.subarray(start, end)), counted, cells, traits, cellAtFault);
    };

    #addClean(bytes: Buffer, start: number, end: number, line: number): void {
        this.#clean ??= new SpoolFile(join(this.#folder, `${this.#pieceCount}-clean.csv`), this.#bufferBytes);
        const at = this.#clean.reserve(LINE_DIGITS + 1 + end - start + 1);
        const { buffer } = this.#clean;
        let rest = line;
        for (let i = at + LINE_DIGITS - 1; i >= at; i--) {
            const tenth = Math.trunc(rest / 10);
            buffer[i] = ZERO + rest - 10 * tenth;
            rest = tenth;
        }
        buffer[at + LINE_DIGITS] = byte.comma;
        bytes.copy(buffer, at + LINE_DIGITS + 1, start, end);
        buffer[at + LINE_DIGITS + 1 + end - start] = byte.lf;
        this.#piece.rowCount++;
    }

    #addOther(record: Buffer, line: number, cells: number, traits: number, cellAtFault: number): void {
        const text = record.toString('utf8');
        if ((traits & malformed) !== 0) {
            const column = this.#names[cellAtFault - 1] ?? null;
            const bytes = Buffer.from(text).equals(record) ? null : record;
            this.setAside({ line, column, reason: reasonOf(traits), text, bytes });
        } else if (isBlankRecord(text)) {
            // A spreadsheet's empty row, or an empty line with white space.
        } else if (cells !== this.#width) {
            const reason = raggedRow(cells, this.#width);
            this.setAside({ line, column: null, reason, text, bytes: null });
        } else {
            const found = csvCells(text);
            const beyond = found.findIndex((cell, index) => index >= this.#names.length && cell !== '');
            if (beyond === -1) this.addCells(line, text, found.slice(0, this.#names.length));
            else this.setAside({ line, column: null, reason: namelessCell(beyond + 1), text, bytes: null });
        }
    }

    /** Spools a row that is not to be read from its own text. */
    addCells(line: number, text: string, cells: readonly string[]): void {
        this.#odd ??= new SpoolFile(join(this.#folder, `${this.#pieceCount}-odd.csv`), this.#bufferBytes);
        const row = Buffer.from(`${[String(line), text, ...cells].map(quotedCell).join(',')}\n`);
        const at = this.#odd.reserve(row.length);
        row.copy(this.#odd.buffer, at);
        this.#piece.rowCount++;
    }

    setAside(record: Malformed): void {
        this.#piece.malformed.push(record);
        this.#malformedBytes += record.text.length;
        this.#piece.rowCount++;
    }

    /** Counts a row of a file that comes with a map. */
    noteSourceRow(isDropped: boolean): void {
        this.#piece.sourceRowCount++;
        if (isDropped) this.#piece.droppedRowCount++;
    }

    /** The piece so far; the next record begins a new one. */
    cut(): Piece {
        const piece = {
            ...this.#piece,
            clean: this.#clean?.path ?? null,
            odd: this.#odd?.path ?? null,
        };
        this.close();
        this.#pieceCount++;
        this.#piece = newPiece();
        this.#malformedBytes = 0;
        return piece;
    }

    close(): void {
        const [clean, odd] = [this.#clean, this.#odd];
        // Each is closed once, also where its last bytes cannot be written.
        this.#clean = null;
        this.#odd = null;
        try {
            clean?.close();
        } finally {
            odd?.close();
        }
    }
}

/** Why a record with these traits is no row. */
export function reasonOf(traits: number): string {
    if ((traits & trait.tooLong) !== 0) return rowTooLong(MAX_RECORD_BYTES);
    if ((traits & trait.openQuote) !== 0) return openQuote();
    if ((traits & trait.afterQuote) !== 0) return afterQuote();
    if ((traits & trait.strayQuote) !== 0) return strayQuote();
    if ((traits & trait.control) !== 0) return controlCharacter();
    return notUtf8();
}
