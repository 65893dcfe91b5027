import type { Cell, Table } from '../blocks.js';
import { fixed } from '../format.js';
import { html, type Markup, type Piece } from '../html.js';
import { keysAttribute } from './keys.js';
import type { PageLinks } from './links.js';

function shown(cell: Cell, digits: number | null): string {
    if (cell === null) return '–';
    if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
    if (typeof cell === 'string') return cell;
    return digits === null ? String(cell).replace('-', '−') : fixed(cell, digits);
}

/** Text longer than this may be broken; all else stays on one line. */
const unbroken = 28;

/** Sizes of type, px, that a table may be printed in, largest first. */
const printSizes = [11, 10, 9, 8];
/** Width of a printed page, px. */
const printWidth = 680;

const longest = (texts: readonly string[]) => texts.reduce((most, text) => Math.max(most, text.length), 0);

/** The size of type in which a table of columns of so many characters goes on a printed page; null where none does. */
function printSize(columns: readonly number[]): number | null {
    const width = columns.reduce((sum, characters) => sum + 0.62 * characters + 0.6, 0);
    return printSizes.find((size) => width * size <= printWidth) ?? null;
}

/**
 * As classes of the table: which columns hold numbers (`n1` = the first) and which long text (`w1`),
 * and how it is printed (`p9` = at 9 px, `broken` = rows as cards).
 */
function tableClasses({ head, body }: Table): Piece {
    const classes: string[] = [];
    const columns = head.map(({ title, digits, numeric }, index) => {
        const texts = body.map((cells) => shown(cells[index]!, digits));
        const long = !numeric && longest(texts) > unbroken;
        if (numeric) classes.push(`n${index + 1}`);
        if (long) classes.push(`w${index + 1}`);
        // Heads are bold.
        const words = 1.15 * longest(title.split(' '));
        return Math.max(words, long ? 36 : longest(texts));
    });
    const size = printSize(columns);
    if (size === null) classes.push('broken');
    else if (size < printSizes[0]!) classes.push(`p${size}`);
    return classes.length === 0 ? null : html` class="${classes.join(' ')}"`;
}

/** A table that scrolls by itself where it is wider than the page. End tags that HTML lets go are let go. Links lead to `pages` only. */
export function tableMarkup(table: Table, pages: PageLinks): Markup {
    const cellMarkup = (cell: Cell, column: number, row: number): Piece => {
        const text = shown(cell, table.head[column]!.digits);
        const href = table.hrefs?.[column]?.[row] ?? null;
        return href !== null && pages.has(href) ? html`<a href="${href}">${text}</a>` : text;
    };
    const heads = table.head.map(({ title }) => html`<th scope="col">${title}`);
    const rows = table.body.map(
        (cells, place) =>
            html`<tr${keysAttribute(table.keys?.[place])}>${cells.map((cell, index) => html`<td>${cellMarkup(cell, index, place)}`)}
`,
    );
    return html`<div class="scroll" role="region" tabindex="0" aria-label="${table.caption}"><p class="caption">${table.caption}</p><table${tableClasses(table)}><thead><tr>${heads}<tbody>
${rows}</table></div>
`;
}
