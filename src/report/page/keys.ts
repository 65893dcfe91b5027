import type { Keys } from '../blocks.js';
import { html, type Piece } from '../html.js';

/** The attribute that the filters of the page go by; nothing where there are no keys. */
export function keysAttribute(keys: Keys | undefined): Piece {
    return keys === undefined ? null : html` data-keys="${JSON.stringify(keys)}"`;
}
