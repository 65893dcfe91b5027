import { createHash } from 'node:crypto';
import type { ImportMap } from '../../contracts/map.js';
import { UserError } from '../../errors/errors.js';
import { headerBroken, headerMissing } from '../../errors/mapMessages.js';
import type { Dialect } from '../bytes.js';
import { cellSplitter } from '../csvCells.js';
import type { PreparedFile } from '../prepare.js';
import { malformed, RecordScanner } from '../records.js';
import { inspectSource, type Source, SourcePass } from '../source.js';
import { bind } from './bind.js';
import { type Converter, converter } from './convertRow.js';
import { drops } from './drops.js';
import type { MapFile } from './readMap.js';
import { theirColumns } from './theirColumns.js';

/** A map fitted to a file: what its rows need to become ours. */
export interface Mapping {
    /** File of the map, as it was named. */
    file: string;
    /** Differs where the map says something else. */
    fingerprint: string;
    dialect: Dialect;
    theirNames: readonly string[];
    convert: Converter['convert'];
    isDropped: (line: string, cells: readonly string[]) => boolean;
}

interface FoundHeader {
    rows: string[][];
    /** Physical line of the last header row, or the last line that is skipped. */
    line: number;
    /** All lines up to there, so that rows can be written below them and read with the same map. */
    text: string;
    columnCount: number;
}

const dialectOf = ({ delimiter, quote }: ImportMap): Dialect => ({ delimiter, quoted: quote === '"' });

/** Reads what stands above the data. Throws a {@link UserError} where it ends before the header does. */
async function findHeader(source: Source, map: ImportMap): Promise<FoundHeader> {
    const { skip_lines, header_lines } = map;
    const split = cellSplitter(dialectOf(map));
    const found: FoundHeader = { rows: [], line: skip_lines, text: '', columnCount: 0 };
    const texts: string[] = [];
    let done = false;
    const scanner = new RecordScanner((bytes, start, end, line, _, traits) => {
        if (done) return;
        const text = bytes.toString('utf8', start, end);
        const isHeader = line > skip_lines && found.rows.length < header_lines;
        if (line <= skip_lines || isHeader) texts.push(text);
        if (line <= skip_lines) return;
        const cells = (traits & malformed) === 0 ? split(text) : [];
        if (cells.length > 0 && cells.every((cell) => cell === '')) return;
        if (isHeader && cells.length === 0) throw new UserError(headerBroken(source.file, line));
        if (isHeader) {
            found.rows.push(cells);
            found.line = line;
        }
        found.columnCount = Math.max(found.columnCount, cells.length);
        done = found.rows.length === header_lines && (header_lines > 0 || found.columnCount > 0);
    }, dialectOf(map));
    for await (const chunk of new SourcePass(source).chunks(64 * 1024)) {
        scanner.push(chunk, chunk.length === 0);
        if (done) break;
    }
    if (!done) throw new UserError(headerMissing(source.file, skip_lines));
    return { ...found, text: texts.join('\n') };
}

/** Reads the header of `file` and fits the map to it. Throws a {@link UserError} where they do not fit. */
export async function prepareMapped(file: string, { file: mapFile, map }: MapFile): Promise<PreparedFile> {
    const source = inspectSource(file, map.encoding);
    const { rows, line, text, columnCount } = await findHeader(source, map);
    const theirNames = theirColumns(rows, columnCount);
    const binding = bind(map, mapFile, theirNames, { file, line: Math.max(line, 1) });
    const { names, convert } = converter(map, binding);
    return {
        source,
        header: { line, text, names, width: names.length, contract: binding.contract },
        mapping: {
            file: mapFile,
            fingerprint: createHash('sha256').update(JSON.stringify(map)).digest('hex'),
            dialect: dialectOf(map),
            theirNames,
            convert,
            isDropped: drops(map, binding.dropIndex),
        },
    };
}
