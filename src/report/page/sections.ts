import type { Block, Chart, Drawing, Section } from '../blocks.js';
import { html, type Markup } from '../html.js';
import type { PageCharts } from './charts.js';
import { keysAttribute } from './keys.js';
import { legend } from './legend.js';
import { tableMarkup } from './table.js';
import { whatIfMarkup } from './whatIf.js';

/** Id of the section at `index`, for the contents list. */
export function sectionId(index: number): string {
    return `section-${index + 1}`;
}

const isFigure = (block: Block): block is Chart | Drawing =>
    block.kind === 'chart' || block.kind === 'drawing';

function drawing(block: Drawing): Markup {
    const caption = block.caption === undefined ? null : html`<p class="small">${block.caption}</p>`;
    return html`<figure><figcaption>${block.title}</figcaption><div class="plot" role="img" aria-label="${block.alt}">${block.svg}</div>${caption}</figure>
`;
}

/** Blocks in order; figures that follow each other share a grid. */
async function blocksMarkup(blocks: readonly Block[], charts: PageCharts): Promise<Markup[]> {
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
                figures.push(next.kind === 'chart' ? await charts.figure(next) : drawing(next));
            }
            index += figures.length - 1;
            out.push(html`<div class="grid">${figures}</div>`);
        } else if (block.kind === 'table') out.push(tableMarkup(block));
        else if (block.kind === 'paragraph') out.push(html`<p>${block.text}</p>`);
        else if (block.kind === 'legend') out.push(legend(block.entries));
        else if (block.kind === 'whatIf') out.push(whatIfMarkup(block));
        else if (block.kind === 'sheet')
            out.push(
                html`<section class="sheet" aria-label="${block.title}"${keysAttribute(block.keys)}>${block.body}</section>`,
            );
        else {
            const inner = await blocksMarkup(block.blocks, charts);
            out.push(
                html`<section class="group"${keysAttribute(block.keys)}><h3>${block.title}</h3>${inner}</section>`,
            );
        }
    }
    return out;
}

export async function sectionMarkup(section: Section, index: number, charts: PageCharts): Promise<Markup> {
    const id = sectionId(index);
    return html`<section aria-labelledby="${id}"><h2 id="${id}">${section.title}</h2>
${await blocksMarkup(section.blocks, charts)}</section>
`;
}
