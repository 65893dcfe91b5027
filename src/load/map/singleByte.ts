import type { Encoding } from '../source.js';

/**
 * Bytes of `text` in an encoding of one byte a character, as it was decoded from; null for the Unicode encodings. Throws
 * where the encoding lacks a character.
 */
export function singleByteEncoder(encoding: Encoding): ((text: string) => Buffer) | null {
    if (encoding.startsWith('utf-')) return null;
    // Not in one go: Node decodes windows-1252 as Latin-1 where a decoder is not told that more will come.
    const characters = new TextDecoder(encoding).decode(
        Uint8Array.from({ length: 256 }, (_, code) => code),
        { stream: true },
    );
    const codes = new Map([...characters].map((character, code) => [character, code]));
    return (text) =>
        Buffer.from(
            Array.from(text, (character) => {
                const code = codes.get(character);
                if (code === undefined) throw new RangeError(`${encoding} has no ${character}`);
                return code;
            }),
        );
}
