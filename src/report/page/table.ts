import type { Cell, Table } from '../blocks.js';
import { fixed } from '../format.js';
import { html, type Markup, type Piece } from '../html.js';
import { keysAttribute } from './keys.js';

function shown(cell: Cell, digits: number | null): string {
    if (cell === null) return '–';
    if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
    if (typeof cell === 'string') return cell;
    return digits === null ? String(cell).replace('-', '−') : fixed(cell, digits);
}

/** Text longer than this may be broken; all else stays on one line. */
const unbroken = 28;

/** Which columns hold numbers (`n1` = the first) and which long text (`w1`), as classes of the table. */
function columnClasses({ head, body }: Table): Piece {
    const classes = head.flatMap(({ numeric }, index) => {
        if (numeric) return [`n${index + 1}`];
        const long = body.some((cells) => shown(cells[index]!, null).length > unbroken);
        return long ? [`w${index + 1}`] : [];
    });
    return classes.length === 0 ? null : html` class="${classes.join(' ')}"`;
}

/** A table that scrolls by itself where it is wider than the page. End tags that HTML lets go are let go. */
export function tableMarkup(table: Table): Markup {
    const heads = table.head.map(({ title }) => html`<th scope="col">${title}`);
    const rows = table.body.map(
        (cells, place) =>
            html`<tr${keysAttribute(table.keys?.[place])}>${cells.map((cell, index) => html`<td>${shown(cell, table.head[index]!.digits)}`)}
`,
    );
    return html`<div class="scroll" role="region" tabindex="0" aria-label="${table.caption}"><p class="caption">${table.caption}</p><table${columnClasses(table)}><thead><tr>${heads}<tbody>
${rows}</table></div>
`;
}
