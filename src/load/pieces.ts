import { UserError } from '../errors/errors.js';
import { lineTooLong } from '../errors/loadMessages.js';
import { MAX_LINE_BYTES } from './header.js';
import { mappedSink } from './map/mappedSink.js';
import type { PreparedFile } from './prepare.js';
import { RecordScanner } from './records.js';
import type { SourcePass } from './source.js';
import { type Piece, Spool } from './spool.js';

/** Hands the records of a file to the scanner's sink; yields how many bytes have been read. */
export async function* scanRecords(
    scanner: RecordScanner,
    pass: SourcePass,
    file: string,
): AsyncGenerator<number> {
    for await (const chunk of pass.chunks()) {
        scanner.push(chunk, chunk.length === 0);
        if (scanner.pending > MAX_LINE_BYTES) throw new UserError(lineTooLong(file, scanner.line));
        yield pass.byteCount;
    }
}

/** Splits the file into spooled pieces in `folder`, in one pass; `onBytes` hears how far it is. */
export async function* spoolPieces(
    prepared: PreparedFile,
    pass: SourcePass,
    folder: string,
    onBytes: (byteCount: number) => void,
): AsyncGenerator<Piece> {
    const { header, mapping, source } = prepared;
    const spool = new Spool(folder, header, source.byteCount);
    spool.goOn(header.line);
    const scanner =
        mapping === undefined
            ? new RecordScanner(spool.add)
            : new RecordScanner(mappedSink(spool, prepared, mapping), mapping.dialect);
    try {
        for await (const byteCount of scanRecords(scanner, pass, source.file)) {
            onBytes(byteCount);
            if (spool.isFull) yield spool.cut();
        }
        yield spool.cut();
    } finally {
        spool.close();
    }
}

/** The same values, each made while the one before is being used. */
export async function* ahead<T>(values: AsyncGenerator<T>): AsyncGenerator<T> {
    let next = values.next();
    try {
        for (;;) {
            const { value, done } = await next;
            if (done) return;
            next = values.next();
            next.catch(() => undefined);
            yield value;
        }
    } finally {
        await next.catch(() => undefined);
        await values.return(undefined).catch(() => undefined);
    }
}
