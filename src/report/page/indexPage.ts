import type { BuildStamp } from '../buildStamp.js';
import { estimateStatement } from '../cautions.js';
import { html, Markup } from '../html.js';
import { prose } from '../prose.js';
import type { Entry } from '../renderReport.js';
import { stampWords } from '../stampWords.js';
import { pageAssets } from './assets.js';
import { cautionsMarkup, head, sign } from './frame.js';
import type { PageLinks } from './links.js';

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
    return html`${head('All pages', { style })}<body class="index">
<header><p class="brand">${sign}Strutmark</p></header>
<main>
<h1>What the readings say</h1>
${groups}${cautionsMarkup(estimateStatement)}</main>
<footer><p>${stampWords(stamp, 'readings')}</p></footer>
</body>
</html>
`.text;
}
