import type { Cell, Table } from '../blocks.js';
import { fixed } from '../format.js';
import { html, type Markup } from '../html.js';
import { keysAttribute } from './keys.js';

function shown(cell: Cell, digits: number | null): string {
    if (cell === null) return '–';
    if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
    if (typeof cell === 'string') return cell;
    return digits === null ? String(cell).replace('-', '−') : fixed(cell, digits);
}

/** A table that scrolls by itself where it is wider than the page. End tags that HTML lets go are let go. */
export function tableMarkup(table: Table): Markup {
    const heads = table.head.map(({ title, numeric }) =>
        numeric ? html`<th scope="col" class="n">${title}` : html`<th scope="col">${title}`,
    );
    const rows = table.body.map(
        (cells, place) =>
            html`<tr${keysAttribute(table.keys?.[place])}>${cells.map((cell, index) => {
                const { digits, numeric } = table.head[index]!;
                return numeric
                    ? html`<td class="n">${shown(cell, digits)}`
                    : html`<td>${shown(cell, digits)}`;
            })}
`,
    );
    return html`<div class="scroll" role="region" tabindex="0" aria-label="${table.caption}"><p class="caption">${table.caption}</p><table><thead><tr>${heads}<tbody>
${rows}</table></div>
`;
}
