import { type Header, readHeader } from './header.js';
import type { Mapping } from './map/mapping.js';
import { inspectSource, type Source } from './source.js';

/** A file whose header has been read and fitted to a contract. */
export interface PreparedFile {
    source: Source;
    /** With a map: its names are the columns that the rows become, its text all lines above the data. */
    header: Header;
    /** Only where the file comes with a map. */
    mapping?: Mapping;
}

/** Throws a UserError when the file cannot be taken; nothing is opened or changed yet. */
export async function prepareFile(file: string, kind?: string): Promise<PreparedFile> {
    const source = inspectSource(file);
    return { source, header: await readHeader(source, kind) };
}
