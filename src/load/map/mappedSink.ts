import { notInEncoding, raggedMapped } from '../../errors/mapMessages.js';
import { cellSplitter } from '../csvCells.js';
import type { PreparedFile } from '../prepare.js';
import { malformed, type RecordSink, trait } from '../records.js';
import { reasonOf, type Spool } from '../spool.js';
import type { Value } from './cellValue.js';
import type { Mapping } from './mapping.js';
import { singleByteEncoder } from './singleByte.js';

const asCell = (value: Value) => (value === null ? '' : String(value));

/** Cells of a row as many as there are columns; null where some are missing, or more follow that are not blank. */
function fitted(cells: readonly string[], columnCount: number): readonly string[] | null {
    const extra = cells.slice(columnCount);
    return cells.length < columnCount || extra.some((cell) => cell !== '')
        ? null
        : cells.slice(0, columnCount);
}

/** The sink of a record scanner that makes of each record of theirs the rows of ours, and spools them. */
export function mappedSink(spool: Spool, { source, header }: PreparedFile, mapping: Mapping): RecordSink {
    const { dialect, theirNames, convert, isDropped } = mapping;
    const split = cellSplitter(dialect);
    const encode = singleByteEncoder(source.encoding);
    return (bytes, start, end, line, cellCount, traits, cellAtFault) => {
        if (line <= header.line || end - start < cellCount) return;
        const text = bytes.toString('utf8', start, end);
        const isMalformed = (traits & malformed) !== 0;
        const cells = isMalformed ? text.split(dialect.delimiter).map((cell) => cell.trim()) : split(text);
        if (cells.every((cell) => cell === '')) return;
        const dropped = isDropped(text, cells);
        spool.noteSourceRow(dropped);
        if (dropped) return;
        const setAside = (column: string | null, reason: string) => {
            const record = encode === null ? Buffer.from(bytes.subarray(start, end)) : encode(text);
            const asRead = record.equals(Buffer.from(text)) ? null : record;
            spool.setAside({ line, column, reason, text, bytes: asRead });
        };
        const fit = isMalformed ? null : fitted(cells, theirNames.length);
        if (isMalformed) {
            const isOtherText = (traits & trait.notUtf8) !== 0;
            setAside(
                theirNames[cellAtFault - 1] ?? null,
                isOtherText ? notInEncoding(source.encoding) : reasonOf(traits),
            );
        } else if (fit === null) {
            setAside(null, raggedMapped(cellCount, theirNames.length));
        } else {
            const { rows, rejects } = convert(fit);
            for (const row of rows) spool.addCells(line, text, row.map(asCell));
            for (const { at, reason } of rejects) setAside(at, reason);
        }
    };
}
