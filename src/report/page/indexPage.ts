import type { BuildStamp } from '../buildStamp.js';
import { cautions, estimateStatement } from '../cautions.js';
import { html, Markup } from '../html.js';
import { prose } from '../prose.js';
import type { Entry } from '../renderReport.js';
import { stampWords } from '../stampWords.js';
import { pageAssets } from './assets.js';
import type { PageLinks } from './links.js';
import { policy, sign } from './page.js';

/** The picture of a page beside others: its inner ids apart from theirs. */
function small(name: string, picture: string | null): Markup {
    return new Markup((picture ?? '').replace(/(\bid="|url\(#|href="#)/g, `$1${name}-`));
}

/** The page that leads to all others, each with its headline and its picture, small. */
export function indexPage(entries: readonly Entry[], links: PageLinks, stamp: BuildStamp): string {
    const { style } = pageAssets();
    const of = new Map(entries.map((entry) => [entry.name, entry]));
    const card = ({ name, title }: { name: string; title: string }): Markup => {
        const { headline, picture } = of.get(name)!;
        return html`<li><a href="${name}.html"><h3>${title}</h3><p>${prose(headline)}</p><div class="small-picture" aria-hidden="true">${small(name, picture)}</div></a></li>
`;
    };
    const groups = links.grouped().map(({ group, pages }) => {
        const own = pages.filter(({ name }) => of.has(name));
        return html`<section aria-labelledby="${group}"><h2 id="${group}">${group}</h2><ul class="cards">${own.map(card)}</ul></section>
`;
    });
    const items = Object.values(cautions).map((text) => html`<li>${text}</li>\n`);
    return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy({ style })}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>All pages - Strutmark</title>
<style>${new Markup(style)}</style>
</head>
<body class="index">
<header><p class="brand">${sign}Strutmark</p></header>
<main>
<h1>What the readings say</h1>
${groups}<section class="cautions" aria-labelledby="cautions"><h2 id="cautions">Before you act on this</h2><p><strong>${estimateStatement}</strong></p><ul>${items}</ul></section>
</main>
<footer><p>${stampWords(stamp, 'readings')}</p></footer>
</body>
</html>
`.text;
}
