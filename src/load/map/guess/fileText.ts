import { isUtf8 } from 'node:buffer';
import { readHead } from '../../readHead.js';
import { type Encoding, inspectSource } from '../../source.js';

/** Enough rows for a guess; the rest of a larger file is not looked at. */
const MAX_BYTES = 4 * 1024 * 1024;

/** The text of a file, or the beginning of it. */
export interface FileText {
    encoding: Encoding;
    text: string;
}

/** UTF-16 where at least a third of the bytes at even or odd places is NUL, as in text that is mostly ASCII. */
function utf16Of(bytes: Buffer): Encoding | null {
    const nuls = [0, 0];
    for (const [i, code] of bytes.entries()) if (code === 0) nuls[i % 2]!++;
    if (nuls[1]! > bytes.length / 6) return 'utf-16le';
    return nuls[0]! > bytes.length / 6 ? 'utf-16be' : null;
}

function encodingOf(bytes: Buffer): { encoding: Encoding; markBytes: number } {
    const head = bytes.toString('hex', 0, 3);
    if (head === 'efbbbf') return { encoding: 'utf-8', markBytes: 3 };
    if (head.startsWith('fffe')) return { encoding: 'utf-16le', markBytes: 2 };
    if (head.startsWith('feff')) return { encoding: 'utf-16be', markBytes: 2 };
    const utf16 = utf16Of(bytes.subarray(0, 4096));
    return { encoding: utf16 ?? (isUtf8(bytes) ? 'utf-8' : 'windows-1252'), markBytes: 0 };
}

/**
 * Reads a file and guesses its encoding: byte order mark, else UTF-16 by its NULs, else UTF-8 where it is that, else
 * windows-1252. Throws a {@link UserError} where it cannot be read or is no text.
 */
export function fileText(file: string): FileText {
    // Named so, NUL bytes are not taken for a sign that the file is no text.
    const { path, byteCount } = inspectSource(file, 'utf-16le');
    const bytes = readHead(path, MAX_BYTES);
    const whole = bytes.length === byteCount ? bytes : bytes.subarray(0, bytes.lastIndexOf('\n') + 1);
    const { encoding, markBytes } = encodingOf(whole);
    // Told that more will come, Node decodes windows-1252 as such and not as Latin-1.
    const text = new TextDecoder(encoding).decode(whole.subarray(markBytes), { stream: true });
    return { encoding, text };
}
