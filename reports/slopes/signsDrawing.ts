import type { Drawing } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { html, type Markup } from '../../src/report/html.js';

/** One strut top in plan view: `side` -1 left, 1 right of the car. */
function strutTop(side: -1 | 1): Markup {
    const centre = 172 + side * 76;
    const tip = centre + side * 66;
    const text = { fill: paint.muted, 'font-size': 11 };
    return html`<g fill="none" stroke="${paint.muted}"><circle cx="${centre}" cy="96" r="34"/><path d="M${centre},${96 - 40}v-8M${centre - 35},${96 + 20}l-7,4M${centre + 35},${96 + 20}l7,4"/></g>
<g stroke="${paint.first}" fill="${paint.first}" stroke-width="1.8"><path d="M${centre},96H${tip - side * 5}M${centre},96V150"/><path d="M${tip},96l${-side * 8},-4v8zM${centre},156l-4,-8h8z" stroke="none"/><circle cx="${centre}" cy="96" r="4"/></g>
<g font-family="system-ui, sans-serif" text-anchor="middle" font-size="${text['font-size']}" fill="${text.fill}"><text x="${tip - side * 14}" y="86">out +</text><text x="${centre}" y="172">aft +</text><text x="${centre}" y="34">${side < 0 ? 'front left' : 'front right'}</text></g>`;
}

/** Which way is plus: the sign rule of all offsets on the page. */
export const signsDrawing: Drawing = {
    kind: 'drawing',
    title: 'Which way is plus',
    alt: 'Plan view of both front strut tops, front of the car up: an offset counts positive outboard, away from the middle of the car, and positive rearward; left and right are mirrored.',
    svg: html`<svg viewBox="0 0 344 180">${strutTop(-1)}${strutTop(1)}<g stroke="${paint.muted}" fill="none"><path d="M172,130V64" stroke-dasharray="3,3"/><path d="M172,52l-4,9h8z" fill="${paint.muted}" stroke="none"/></g><text x="172" y="148" text-anchor="middle" font-family="system-ui, sans-serif" font-size="11" fill="${paint.muted}">forward</text></svg>`,
    caption: 'Seen from above. Left and right are mirrored, so equal cars read equal on both sides.',
};
