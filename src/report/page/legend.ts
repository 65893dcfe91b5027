import type { LegendEntry } from '../blocks.js';
import { html, type Markup } from '../html.js';

export function symbol({ mark, paint }: LegendEntry): Markup {
    switch (mark) {
        case 'circle':
            return html`<circle cx="11" cy="7" r="4" fill="${paint}"/>`;
        case 'ring':
            return html`<circle cx="11" cy="7" r="4" fill="none" stroke="${paint}" stroke-width="1.6"/>`;
        case 'cross':
            return html`<path d="M7,3L15,11M15,3L7,11" stroke="${paint}" stroke-width="2"/>`;
        case 'triangle':
            return html`<path d="M11,2L16,11H6Z" fill="none" stroke="${paint}" stroke-width="1.5"/>`;
        case 'arrow':
            return html`<path d="M8,3L15,7L8,11Z" fill="${paint}"/>`;
        case 'arrow-left':
            return html`<path d="M14,3L7,7L14,11Z" fill="${paint}"/>`;
        case 'diamond':
            return html`<path d="M11,2L16,7L11,12L6,7Z" fill="${paint}"/>`;
        case 'square':
            return html`<rect x="7" y="3" width="8" height="8" fill="none" stroke="${paint}" stroke-width="1.6"/>`;
        case 'line':
            return html`<path d="M1,7H21" stroke="${paint}" stroke-width="2"/>`;
        case 'dashed':
            return html`<path d="M1,7H21" stroke="${paint}" stroke-width="1.5" stroke-dasharray="4,3"/>`;
        case 'band':
            return html`<rect x="1" y="2" width="20" height="10" fill="${paint}" opacity="0.25"/>`;
    }
}

/** The key of the symbols below it. */
export function legend(entries: readonly LegendEntry[]): Markup {
    return html`<ul class="legend">${entries.map(
        (entry) =>
            html`<li><svg width="22" height="14" viewBox="0 0 22 14" aria-hidden="true">${symbol(entry)}</svg>${entry.label}</li>`,
    )}</ul>
`;
}
