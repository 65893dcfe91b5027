import type { Block, Chart, Drawing, Paragraph, Section } from '../blocks.js';
import { html, type Markup } from '../html.js';
import { prose } from '../prose.js';
import type { PageCharts } from './charts.js';
import { keysAttribute } from './keys.js';
import { legend } from './legend.js';
import type { PageLinks } from './links.js';
import { tableMarkup } from './table.js';
import { whatIfMarkup } from './whatIf.js';

/** Id of the section at `index`, for the contents list. */
export const sectionId = (index: number) => `section-${index + 1}`;

function drawing(block: Drawing): Markup {
    const caption = block.caption === undefined ? null : html`<p class="small">${prose(block.caption)}</p>`;
    const pictures =
        block.narrow === undefined
            ? block.svg
            : html`<div class="wide">${block.svg}</div><div class="narrow">${block.narrow}</div>`;
    return html`<figure><figcaption>${prose(block.title)}</figcaption><div class="plot" role="img" aria-label="${block.alt}">${pictures}</div>${caption}</figure>
`;
}

function paragraph({ text, links = [] }: Paragraph, pages: PageLinks): Markup {
    const there = links.filter(({ href }) => pages.has(href));
    return html`<p>${prose(text)}${there.map((link) => html` <a href="${link.href}">${link.text}</a>`)}</p>`;
}

type Inline = Exclude<Block, Chart | Drawing>;

async function inlineMarkup(block: Inline, charts: PageCharts): Promise<Markup> {
    switch (block.kind) {
        case 'table':
            return tableMarkup(block, charts.links);
        case 'paragraph':
            return paragraph(block, charts.links);
        case 'legend':
            return legend(block.entries);
        case 'whatIf':
            return whatIfMarkup(block);
        case 'sheet':
            return html`<section class="sheet" aria-label="${block.title}"${keysAttribute(block.keys)}>${block.body}</section>`;
        case 'group': {
            const id = block.id === undefined ? null : html` id="${block.id}"`;
            const inner = await blocksMarkup(block.blocks, charts);
            return html`<section class="group"${id}${keysAttribute(block.keys)}><h3>${block.title}</h3>${inner}</section>`;
        }
    }
}

/** Blocks in order; figures that follow each other share a grid. */
async function blocksMarkup(
    blocks: readonly Block[],
    charts: PageCharts,
    isPicture = false,
): Promise<Markup[]> {
    const out: Markup[] = [];
    let figures: Markup[] = [];
    const endGrid = () => {
        if (figures.length > 0) out.push(html`<div class="grid">${figures}</div>`);
        figures = [];
    };
    for (const block of blocks) {
        if (block.kind === 'chart') figures.push(await charts.figure(block, isPicture));
        else if (block.kind === 'drawing') figures.push(drawing(block));
        else {
            endGrid();
            out.push(await inlineMarkup(block, charts));
        }
    }
    endGrid();
    return out;
}

export async function sectionMarkup(section: Section, index: number, charts: PageCharts): Promise<Markup> {
    const id = sectionId(index);
    const blocks = await blocksMarkup(section.blocks, charts);
    return html`<section aria-labelledby="${id}"><h2 id="${id}">${section.title}</h2>
${blocks}</section>
`;
}

/** The picture that a page opens with, and its legend. */
export function pictureMarkup(blocks: readonly Block[], charts: PageCharts): Promise<Markup[]> {
    return blocksMarkup(blocks, charts, true);
}
