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

const isFigure = (block: Block): block is Chart | Drawing =>
    block.kind === 'chart' || block.kind === 'drawing';

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

/** Blocks in order; figures that follow each other share a grid. */
async function blocksMarkup(
    blocks: readonly Block[],
    charts: PageCharts,
    isPicture = false,
): Promise<Markup[]> {
    const out: Markup[] = [];
    for (let index = 0; index < blocks.length; index++) {
        const block = blocks[index]!;
        if (isFigure(block)) {
            const figures: Markup[] = [];
            for (
                let next = blocks[index];
                next !== undefined && isFigure(next);
                next = blocks[index + figures.length]
            ) {
                figures.push(next.kind === 'chart' ? await charts.figure(next, isPicture) : drawing(next));
            }
            index += figures.length - 1;
            out.push(html`<div class="grid">${figures}</div>`);
        } else if (block.kind === 'table') out.push(tableMarkup(block, charts.links));
        else if (block.kind === 'paragraph') out.push(paragraph(block, charts.links));
        else if (block.kind === 'legend') out.push(legend(block.entries));
        else if (block.kind === 'whatIf') out.push(whatIfMarkup(block));
        else if (block.kind === 'sheet')
            out.push(
                html`<section class="sheet" aria-label="${block.title}"${keysAttribute(block.keys)}>${block.body}</section>`,
            );
        else {
            const inner = await blocksMarkup(block.blocks, charts);
            out.push(
                html`<section class="group"${block.id === undefined ? null : html` id="${block.id}"`}${keysAttribute(block.keys)}><h3>${block.title}</h3>${inner}</section>`,
            );
        }
    }
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
