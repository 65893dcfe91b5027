import { visibleJson } from '../units/visibleText.js';

/** Text that is markup already: only the templates below make it, so that everything else is escaped. */
export class Markup {
    readonly text: string;

    constructor(text: string) {
        this.text = text;
    }

    toString(): string {
        return this.text;
    }
}

export type Piece = Markup | string | number | null | readonly Piece[];

const entities: Record<string, string> = {
    '&': '&amp;',
    '<': '&lt;',
    '>': '&gt;',
    '"': '&quot;',
    "'": '&#39;',
};

/** `text` as it must stand in element content or a quoted attribute. */
export const escapeText = (text: string) => text.replace(/[&<>"']/g, (character) => entities[character]!);

function pieceText(piece: Piece): string {
    if (piece === null) return '';
    if (piece instanceof Markup) return piece.text;
    if (typeof piece === 'object') return piece.map(pieceText).join('');
    return escapeText(String(piece));
}

/** Template tag for HTML and SVG: every piece put in is escaped unless it is {@link Markup}; null is nothing. */
export function html(strings: TemplateStringsArray, ...pieces: readonly Piece[]): Markup {
    return new Markup(strings.reduce((text, string, index) => text + pieceText(pieces[index - 1]!) + string));
}

/** `value` as JSON for a script element of a data type: no `<` that could end the element. */
export function scriptJson(value: unknown): Markup {
    return new Markup(visibleJson(value).replaceAll('<', '\\u003c'));
}
