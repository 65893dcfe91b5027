import type { Spec } from 'vega';
import type { Chart } from '../blocks.js';
import { compileChart, type DataColumns } from '../chart/compileChart.js';
import { type PackedColumn, packColumn } from '../chart/packedColumn.js';
import { staticSvg } from '../chart/staticSvg.js';
import { html, type Markup } from '../html.js';
import type { PageLinks } from './links.js';
import { tableMarkup } from './table.js';

/** A list whose equal members are kept once, compared as JSON. */
class Once<T> {
    readonly #places = new Map<string, number>();
    readonly members: T[] = [];

    placeOf(member: T): number {
        const key = JSON.stringify(member);
        const place = this.#places.get(key) ?? this.members.push(member) - 1;
        this.#places.set(key, place);
        return place;
    }
}

/** What `browser/runtime.ts` reads: chart n is drawn in `plot-<n + 1>`. */
export interface ChartPayload {
    /** Vega, and the columns that its data have. */
    specs: { vega: Spec; fields: Record<string, string[]> }[];
    columns: PackedColumn[];
    /** Per data, places in `columns` in the order of `fields`. */
    charts: { spec: number; data: Record<string, number[]> }[];
}

/** The plots of one page: pictures for now, specs and columns for the browser; equal ones are kept once. */
export class PageCharts {
    readonly #specs = new Once<ChartPayload['specs'][number]>();
    readonly #columns = new Once<PackedColumn>();
    readonly #charts: ChartPayload['charts'] = [];
    /** Where links of the page may lead. */
    readonly links: PageLinks;

    constructor(links: PageLinks) {
        this.links = links;
    }

    /** `isPicture`: the one that the page opens with. */
    async figure(chart: Chart, isPicture = false): Promise<Markup> {
        const id = `plot-${this.#charts.length + 1}`;
        const compiled = compileChart(chart, undefined, isPicture);
        const { vega, data } = compiled;
        const perData = <T>(made: (columns: DataColumns[string]) => T) =>
            Object.fromEntries(Object.entries(data).map(([name, columns]) => [name, made(columns)]));
        this.#charts.push({
            spec: this.#specs.placeOf({ vega, fields: perData(Object.keys) }),
            data: perData((columns) =>
                Object.values(columns).map((values) => this.#columns.placeOf(packColumn(values))),
            ),
        });
        return html`<figure><figcaption>${chart.title}</figcaption>
<div class="plot" id="${id}" role="img" aria-label="${chart.alt}">${await staticSvg(compiled, id)}</div>
<details><summary>Numbers of this plot</summary>${tableMarkup(chart.table, this.links)}</details></figure>
`;
    }

    get payload(): ChartPayload {
        return { specs: this.#specs.members, columns: this.#columns.members, charts: this.#charts };
    }
}
