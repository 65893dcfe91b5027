import { groups } from '../defineReport.js';
import { html, type Markup, type Piece } from '../html.js';

/** A page of the folder, as the navigation names it. */
export interface PageLink {
    name: string;
    title: string;
    group: (typeof groups)[number];
}

const groupNames = { team: 'Team', shop: 'Workshop', maker: 'Maker' } as const;

/** The pages that stand beside each other in one folder: links lead to these only. */
export class PageLinks {
    readonly #pages: readonly PageLink[];
    readonly #hasIndex: boolean;

    constructor(pages: readonly PageLink[], hasIndex: boolean) {
        this.#pages = pages;
        this.#hasIndex = hasIndex;
    }

    /** Whether the page of `href` is there. */
    has(href: string): boolean {
        const name = /^([\w-]+)\.html(#|$)/.exec(href)?.[1];
        return name === 'index' ? this.#hasIndex : this.#pages.some((page) => page.name === name);
    }

    /** Groups that have pages, in their order. */
    grouped(): { group: string; pages: readonly PageLink[] }[] {
        return groups
            .map((group) => ({
                group: groupNames[group],
                pages: this.#pages.filter((page) => page.group === group),
            }))
            .filter(({ pages }) => pages.length > 0);
    }

    /** The bar of links on page `current`; nothing where it stands alone. */
    bar(current: string): Piece {
        if (this.#pages.length < 2 && !this.#hasIndex) return null;
        const item = ({ name, title }: PageLink): Markup =>
            name === current
                ? html`<li><a href="${name}.html" aria-current="page">${title}</a></li>`
                : html`<li><a href="${name}.html">${title}</a></li>`;
        const index = this.#hasIndex ? html`<li class="whole"><a href="index.html">All pages</a></li>` : null;
        const lists = this.grouped().map(
            ({ group, pages }) => html`<li><span>${group}</span><ul>${pages.map(item)}</ul></li>`,
        );
        return html`<nav class="pages" aria-label="Pages"><ul>${index}${lists}</ul></nav>`;
    }
}
