import { type Header, readHeader } from './header.js';
import { inspectSource, type Source } from './source.js';

/** A file whose header has been read and fitted to a contract. */
export interface PreparedFile {
    source: Source;
    header: Header;
}

/** Throws a UserError when the file cannot be taken; nothing is opened or changed yet. */
export async function prepareFile(file: string, kind?: string): Promise<PreparedFile> {
    const source = inspectSource(file);
    return { source, header: await readHeader(source, kind) };
}
