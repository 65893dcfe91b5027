import type { TopLevelSpec } from 'vega-lite';
import type { Markup } from './html.js';
import type { WhatIfData } from './whatIf/model.js';

/** A plot in Vega-Lite layers: each layer names its rows with `data: { name }`; the frame sets width, colours and fonts. */
export type ChartSpec = Pick<
    Extract<TopLevelSpec, { layer: unknown }>,
    'layer' | 'encoding' | 'params' | 'resolve' | 'height'
>;

export type Cell = string | number | boolean | null;

/** One column of a table on a page; `digits` = decimals, numbers stand right. */
export interface Column<R> {
    title: string;
    value: (row: R) => Cell;
    digits?: number;
    /** Where the cell leads, as `page.html` or `page.html#place`; no link where that page is not there. */
    href?: (row: R) => string | null;
}

/** Values by field of a filter of the page, see `filters` of a report; what has no entry for a field stays whatever is chosen. */
export type Keys = Readonly<Record<string, readonly string[]>>;

export interface Table {
    kind: 'table';
    caption: string;
    head: readonly { title: string; digits: number | null; numeric: boolean }[];
    body: readonly (readonly Cell[])[];
    /** Per column with links, one a row. */
    hrefs?: Readonly<Record<number, readonly (string | null)[]>>;
    /** For which filters each row is shown. */
    keys?: readonly Keys[];
}

/** What a symbol of the plots means; `mark` is drawn in `paint`. */
export interface LegendEntry {
    mark:
        | 'circle'
        | 'ring'
        | 'cross'
        | 'triangle'
        | 'arrow'
        | 'arrow-left'
        | 'diamond'
        | 'square'
        | 'line'
        | 'dashed'
        | 'band';
    paint: string;
    label: string;
}

export interface Chart {
    kind: 'chart';
    title: string;
    /** What the plot shows, in words, for those who do not see it. */
    alt: string;
    spec: ChartSpec;
    /** Rows by name of the row schema that they belong to. */
    data: Readonly<Record<string, readonly object[]>>;
    /** The same numbers as a table, folded under the plot. */
    table: Table;
}

export interface Drawing {
    kind: 'drawing';
    title: string;
    alt: string;
    svg: Markup;
    /** Drawn for a phone, 358 px wide, in the place of `svg`. */
    narrow?: Markup;
    caption?: string;
}

/** A sheet of A5 that is printed by itself, without the rest of the page. */
export interface Sheet {
    kind: 'sheet';
    title: string;
    body: Markup;
    /** For which filters it is shown. */
    keys?: Keys;
}

/** A plate whose slot the reader changes, and the share of a field that it reaches, recomputed in the page. At most one on a page. */
export interface WhatIf {
    kind: 'whatIf';
    title: string;
    alt: string;
    data: WhatIfData;
}

export interface Paragraph {
    kind: 'paragraph';
    text: string;
    /** Other pages, left out where they are not there. */
    links?: readonly { href: string; text: string }[];
}

interface Legend {
    kind: 'legend';
    entries: readonly LegendEntry[];
}

export interface Group {
    kind: 'group';
    title: string;
    blocks: readonly Block[];
    /** Where links to it lead. */
    id?: string;
    /** For which filters it is shown. */
    keys?: Keys;
}

export type Block = Chart | Drawing | Sheet | WhatIf | Table | Paragraph | Legend | Group;

export interface Section {
    title: string;
    blocks: readonly Block[];
}

/** A {@link Table} of `rows`, in the order given; `keysOf` says for which filters of the page a row is shown. */
export function table<R>(
    caption: string,
    rows: readonly R[],
    columns: readonly Column<R>[],
    keysOf?: (row: R) => Keys,
): Table {
    const body = rows.map((row) => columns.map((column) => column.value(row)));
    const head = columns.map((column, index) => ({
        title: column.title,
        digits: column.digits ?? null,
        numeric: body.some((cells) => typeof cells[index] === 'number'),
    }));
    const linked = columns.flatMap(({ href }, index) =>
        href === undefined ? [] : [[index, rows.map(href)]],
    );
    return {
        kind: 'table',
        caption,
        head,
        body,
        ...(linked.length === 0 ? {} : { hrefs: Object.fromEntries(linked) }),
        ...(keysOf === undefined ? {} : { keys: rows.map(keysOf) }),
    };
}
