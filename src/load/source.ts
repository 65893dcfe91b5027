import { createHash } from 'node:crypto';
import { fstatSync, realpathSync, type Stats, statSync } from 'node:fs';
import { open } from 'node:fs/promises';
import type { encodings } from '../contracts/map.js';
import { UserError } from '../errors/errors.js';
import {
    brokenUtf16,
    cannotRead,
    compressedFile,
    emptyFile,
    fileChanged,
    missingFile,
    notAFile,
    notText,
} from '../errors/loadMessages.js';
import { readHead } from './readHead.js';

export type Encoding = (typeof encodings)[number];

/** A regular file that looks like text, before it is read. */
export interface Source {
    /** As the user named it. */
    file: string;
    /** The same without links and relative parts. */
    path: string;
    byteCount: number;
    encoding: Encoding;
    stats: Stats;
}

const CHUNK_BYTES = 1024 * 1024;

const byteOrderMarks: [Encoding, number[]][] = [
    ['utf-8', [0xef, 0xbb, 0xbf]],
    ['utf-16le', [0xff, 0xfe]],
    ['utf-16be', [0xfe, 0xff]],
];

/** First bytes of formats that people hand over instead of a CSV file. */
const signatures: [string, number[]][] = [
    ['a gzip archive', [0x1f, 0x8b]],
    ['a zip archive or a spreadsheet file', [0x50, 0x4b, 0x03, 0x04]],
    ['an old spreadsheet file', [0xd0, 0xcf, 0x11, 0xe0]],
    ['a Zstandard archive', [0x28, 0xb5, 0x2f, 0xfd]],
    ['a bzip2 archive', [0x42, 0x5a, 0x68]],
    ['an xz archive', [0xfd, 0x37, 0x7a, 0x58, 0x5a]],
    ['a Parquet file', [0x50, 0x41, 0x52, 0x31]],
];

const startsWith = (head: Buffer, bytes: number[]) => bytes.every((code, i) => head[i] === code);

function fileError(file: string, error: unknown): Error {
    const { code, message } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT' || code === 'ENOTDIR') return new UserError(missingFile(file));
    // Ours, or Node's own, such as of an abort.
    if (error instanceof UserError || typeof code !== 'string' || code.startsWith('ERR_'))
        return error as Error;
    return new UserError(cannotRead(file, code === 'EACCES' || code === 'EPERM' ? 'no permission' : message));
}

/** A file without byte order mark whose every second byte is NUL is UTF-16 all the same. */
function looksLikeUtf16(head: Buffer): boolean {
    const nulCount = head.filter((code) => code === 0).length;
    return nulCount > head.length / 4;
}

/**
 * Looks at `file` without reading it through; a byte order mark tells the encoding, else it is `otherwise`. Throws a
 * {@link UserError} when it is missing, not readable, not a regular file, empty, compressed or not text.
 */
export function inspectSource(file: string, otherwise: Encoding = 'utf-8'): Source {
    try {
        const stats = statSync(file);
        if (!stats.isFile())
            throw new UserError(notAFile(file, stats.isDirectory() ? 'a folder' : 'a pipe or device'));
        const head = readHead(file, 4096);
        if (head.length === 0) throw new UserError(emptyFile(file));
        const archive = signatures.find(([, bytes]) => startsWith(head, bytes));
        if (archive !== undefined) throw new UserError(compressedFile(file, archive[0]));
        const encoding = byteOrderMarks.find(([, bytes]) => startsWith(head, bytes))?.[0] ?? otherwise;
        const firstLine = head.subarray(0, (head.indexOf(0x0a) + 1 || head.length) - 1);
        if (!encoding.startsWith('utf-16') && firstLine.includes(0))
            throw new UserError(notText(file, looksLikeUtf16(head)));
        return { file, path: realpathSync(file), byteCount: stats.size, encoding, stats };
    } catch (error) {
        throw fileError(file, error);
    }
}

function decoder(source: Source): (chunk: Buffer, last: boolean) => Buffer {
    if (source.encoding === 'utf-8') return (chunk) => chunk;
    const decoder = new TextDecoder(source.encoding, { fatal: true });
    return (chunk, last) => {
        try {
            return Buffer.from(decoder.decode(chunk, { stream: !last }));
        } catch {
            throw new UserError(brokenUtf16(source.file));
        }
    };
}

function unchanged(before: Stats, after: Stats): boolean {
    return before.size === after.size && before.mtimeMs === after.mtimeMs && before.ino === after.ino;
}

/** One pass over a file: its text as UTF-8 without byte order mark, and the SHA-256 of its bytes. */
export class SourcePass {
    readonly #source: Source;
    readonly #hash = createHash('sha256');
    byteCount = 0;

    constructor(source: Source) {
        this.#source = source;
    }

    /**
     * Each chunk is valid until the next one is asked for; the last one is empty.
     * Throws a {@link UserError} when the file cannot be read or has changed since it was inspected.
     */
    async *chunks(size = CHUNK_BYTES): AsyncGenerator<Buffer> {
        const { file, path, stats } = this.#source;
        const handle = await open(path, 'r').catch((error) => {
            throw fileError(file, error);
        });
        try {
            const decode = decoder(this.#source);
            // No larger than the file: memory outside the heap is dear where there are many small files.
            const buffer = Buffer.allocUnsafe(Math.min(size, this.#source.byteCount + 1));
            for (;;) {
                const { bytesRead } = await handle.read(buffer, 0, buffer.length).catch((error) => {
                    throw fileError(file, error);
                });
                const chunk = buffer.subarray(0, bytesRead);
                this.#hash.update(chunk);
                const marked = this.byteCount === 0 && startsWith(chunk, byteOrderMarks[0]![1]);
                this.byteCount += bytesRead;
                yield decode(marked ? chunk.subarray(3) : chunk, bytesRead === 0);
                if (bytesRead === 0) break;
            }
            if (!unchanged(stats, fstatSync(handle.fd))) throw new UserError(fileChanged(file));
        } finally {
            await handle.close();
        }
    }

    /** Of all bytes, once {@link chunks} has ended. */
    sha256(): string {
        return this.#hash.digest('hex');
    }
}
