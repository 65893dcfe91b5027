import { createHash } from 'node:crypto';
import type { BuildStamp } from '../buildStamp.js';
import { cautions, estimateStatement } from '../cautions.js';
import type { Content, Filter, Finding, Highlight, MethodNote } from '../defineReport.js';
import { counted } from '../format.js';
import { html, Markup, type Piece, scriptJson } from '../html.js';
import type { PageAssets } from './assets.js';
import { PageCharts } from './charts.js';
import { sectionId, sectionMarkup } from './sections.js';

/** Plan view of a plate, three bolts and the bearing off its centre: the sign of the program. */
const sign = html`<svg class="sign" viewBox="0 0 32 32" aria-hidden="true"><g fill="none" stroke="currentColor" stroke-width="2"><circle cx="16" cy="16" r="9"/><path d="M16,1V5M29,23.5L25.5,21.5M3,23.5L6.5,21.5"/></g><circle cx="19" cy="14.5" r="3.4" fill="currentColor"/></svg>`;

const sha256 = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** What a page may do: run its one script and its one style, and nothing else. */
export function policy(assets: PageAssets): string {
    const sources = `script-src ${sha256(assets.script)}; style-src ${sha256(assets.style)}`;
    return `default-src 'none'; ${sources}; base-uri 'none'; form-action 'none'`;
}

function findingsMarkup(findings: readonly Finding[]): Markup {
    const items = findings.map(({ about, text }) => {
        const label = about === undefined ? null : html`<b>${about}</b>`;
        return html`<li>${label}<span>${text}</span></li>\n`;
    });
    return html`<section aria-labelledby="findings"><h2 id="findings">Findings</h2><ul class="findings">${items}</ul></section>\n`;
}

function select({ field, label, values }: Highlight | Filter): Markup {
    const options = values.map((value) => html`<option>${value}</option>`);
    return html`<label>${label} <select data-field="${field}"><option value="">all</option>${options}</select></label> `;
}

function filtersMarkup({ highlight, filters }: Content): Piece {
    if (highlight === null && filters.length === 0) return null;
    const stressed =
        highlight === null
            ? null
            : html`<span data-highlight>${select(highlight)}</span><span class="small">Clicking a point does the same; Escape shows all again.</span> `;
    return html`<p id="filters" hidden>${stressed}${filters.map(select)}</p>\n`;
}

function methodMarkup(notes: readonly MethodNote[]): Markup {
    const items = notes.map(({ term, text }) => html`<dt>${term}</dt><dd>${text}</dd>\n`);
    return html`<section aria-labelledby="method"><h2 id="method">How the numbers are made</h2><dl>${items}</dl></section>\n`;
}

function cautionsMarkup(): Markup {
    const items = Object.values(cautions).map((text) => html`<li>${text}</li>\n`);
    return html`<section class="cautions" aria-labelledby="cautions"><h2 id="cautions">Before you act on this</h2><p><strong>${estimateStatement}</strong></p><ul>${items}</ul></section>\n`;
}

function contents(content: Content): Markup {
    const named: [string, string][] = [
        ['findings', 'Findings'],
        ...content.sections.map(({ title }, index): [string, string] => [sectionId(index), title]),
        ['method', 'How the numbers are made'],
        ['cautions', 'Before you act on this'],
    ];
    return html`<nav aria-label="On this page"><ul>${named.map(([id, title]) => html`<li><a href="#${id}">${title}</a></li>`)}</ul></nav>\n`;
}

/** One self-contained HTML page: same content, same bytes. */
export async function pageMarkup(
    head: { title: string; question: string },
    content: Content,
    stamp: BuildStamp,
    assets: PageAssets,
): Promise<string> {
    const charts = new PageCharts();
    const sections: Markup[] = [];
    for (const [index, section] of content.sections.entries())
        sections.push(await sectionMarkup(section, index, charts));
    const made = `${counted(stamp.reading_count, 'reading')} in ${counted(stamp.load_count, 'load')}, Strutmark ${stamp.version}`;
    return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy(assets)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${head.title} - Strutmark</title>
<style>${new Markup(assets.style)}</style>
</head>
<body>
<a class="skip" href="#findings">To the findings</a>
<header><p class="brand">${sign}Strutmark</p><h1>${head.title}</h1><p class="question">${head.question}</p><p class="small">From ${made}. ${estimateStatement}</p></header>
${contents(content)}<main>
${findingsMarkup(content.findings)}${filtersMarkup(content)}${sections}${methodMarkup(content.method)}${cautionsMarkup()}</main>
<footer><p>Made from ${made}.</p></footer>
<script type="application/json" id="charts">${scriptJson(charts.payload)}</script>
<script>${new Markup(assets.script)}</script>
</body>
</html>
`.text;
}
