import { createHash } from 'node:crypto';
import { cautions } from '../cautions.js';
import { html, Markup, type Piece } from '../html.js';
import type { PageAssets } from './assets.js';

/** Plan view of a plate, three bolts and the bearing off its centre: the sign of the program. */
export const sign = html`<svg class="sign" viewBox="0 0 32 32" aria-hidden="true"><g fill="none" stroke="currentColor" stroke-width="2"><circle cx="16" cy="16" r="9"/><path d="M16,1V5M29,23.5L25.5,21.5M3,23.5L6.5,21.5"/></g><circle cx="19" cy="14.5" r="3.4" fill="currentColor"/></svg>`;

const sha256 = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** Head of a page that runs its one script, if any, and its one style; nothing else is allowed but `more`, as directives of its policy. */
export function head(
    title: string,
    { style, script }: { style: string; script?: PageAssets['script'] | undefined },
    ...more: readonly string[]
): Markup {
    const runs = script === undefined ? [] : [`script-src ${sha256(script)}`];
    const directives = ["default-src 'none'", ...runs, `style-src ${sha256(style)}`, ...more];
    const policy = [...directives, "base-uri 'none'", "form-action 'none'"].join('; ');
    return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${title} - Strutmark</title>
<style>${new Markup(style)}</style>
</head>
`;
}

/** The cautions under `statement`, and what a page says behind them. */
export function cautionsMarkup(statement: string, after: Piece = null): Markup {
    const items = Object.values(cautions).map((text) => html`<li>${text}</li>\n`);
    return html`<section class="cautions" aria-labelledby="cautions"><h2 id="cautions">Before you act on this</h2><p><strong>${statement}</strong></p><ul>${items}</ul>${after}</section>\n`;
}
