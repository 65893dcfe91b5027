import type { BuildStamp } from '../buildStamp.js';
import { estimateStatement, partsStatement } from '../cautions.js';
import type { Content, Filter, Finding, Highlight, MethodNote, Report } from '../defineReport.js';
import { html, Markup, type Piece, scriptJson } from '../html.js';
import { prose } from '../prose.js';
import { stampWords } from '../stampWords.js';
import type { PageAssets } from './assets.js';
import { PageCharts } from './charts.js';
import { cautionsMarkup, head, sign } from './frame.js';
import type { PageLinks } from './links.js';
import { pictureMarkup, sectionId, sectionMarkup } from './sections.js';

function findingsMarkup(findings: readonly Finding[]): Markup {
    const items = findings.map(({ about, text }) => {
        const label = about === undefined ? null : html`<b>${about}</b>`;
        return html`<li>${label}<span>${prose(text)}</span></li>\n`;
    });
    return html`<section aria-labelledby="findings"><h2 id="findings">Findings</h2><ul class="findings">${items}</ul></section>\n`;
}

function select({ field, label, values }: Highlight | Filter): Markup {
    const options = values.map((value) => html`<option>${value}</option>`);
    return html`<label>${label} <select data-field="${field}"><option value="">all</option>${options}</select></label> `;
}

function filtersMarkup({ highlight, filters }: Content): Piece {
    const hasChoice = ({ values }: Filter | Highlight) => values.length > 0;
    const shown = filters.filter(hasChoice);
    const isStressed = highlight !== null && hasChoice(highlight);
    if (!isStressed && shown.length === 0) return null;
    const stressed = !isStressed
        ? null
        : html`<span data-highlight>${select(highlight)}</span><span class="small">Clicking a point does the same; Escape shows all again.</span> `;
    return html`<p id="filters" hidden>${stressed}${shown.map(select)}<button type="button" disabled>Show all again</button></p>\n`;
}

function methodMarkup(notes: readonly MethodNote[]): Markup {
    const items = notes.map(({ term, text }) => html`<dt>${term}</dt><dd>${text}</dd>\n`);
    return html`<section aria-labelledby="method"><details class="fold"><summary><h2 id="method">How the numbers are made</h2></summary>
<dl>${items}</dl></details></section>
`;
}

function contents(content: Content): Markup {
    const named: [string, string][] = [
        ['findings', 'Findings'],
        ...content.sections.map(({ title }, index): [string, string] => [sectionId(index), title]),
        ['method', 'How the numbers are made'],
        ['cautions', 'Before you act on this'],
    ];
    return html`<nav class="contents" aria-label="On this page"><ul>${named.map(([id, title]) => html`<li><a href="#${id}">${title}</a></li>`)}</ul></nav>\n`;
}

/** Picture and sentences that answer the question of the page. */
function answerMarkup(content: Content, picture: readonly Markup[], stamp: string): Markup {
    const sentences = content.answer.map((text) => html`<p>${prose(text)}</p>\n`);
    const said = html`<div class="said-first">${sentences}<p class="small">${stamp}</p></div>`;
    return picture.length === 0
        ? html`<section class="answer" aria-label="Answer">${said}</section>\n`
        : html`<section class="answer pictured" aria-label="Answer"><div class="picture">${picture}</div>${said}</section>\n`;
}

/** One self-contained HTML page, and its picture for the index: same content, same bytes. */
export async function pageMarkup(
    name: string,
    report: Pick<Report, 'title' | 'question' | 'basis'>,
    content: Content,
    stamp: BuildStamp,
    assets: PageAssets,
    links: PageLinks,
): Promise<{ text: string; picture: string | null }> {
    const charts = new PageCharts(links);
    const made = stampWords(stamp, report.basis);
    const statement = report.basis === 'readings' ? estimateStatement : partsStatement;
    const picture = await pictureMarkup(content.picture, charts);
    const answer = answerMarkup(content, picture, `${made} ${statement}`);
    const sections: Markup[] = [];
    for (const [index, section] of content.sections.entries())
        sections.push(await sectionMarkup(section, index, charts));
    const { text } = html`${head(report.title, assets, 'img-src blob:')}<body>
<a class="skip" href="#headline">To the answer</a>
<header><p class="brand">${sign}Strutmark</p>${links.bar(name)}</header>
<main>
<p class="question">${report.question}</p>
<h1 id="headline">${prose(content.headline)}</h1>
${answer}${contents(content)}${findingsMarkup(content.findings)}${filtersMarkup(content)}${sections}${methodMarkup(content.method)}${cautionsMarkup(statement)}</main>
<footer><p>${report.title}. ${made}</p></footer>
<script type="application/json" id="charts">${scriptJson(charts.payload)}</script>
<script>${new Markup(assets.script)}</script>
</body>
</html>
`;
    return { text, picture: /<svg.*?<\/svg>/s.exec(picture.join(''))?.[0] ?? null };
}
