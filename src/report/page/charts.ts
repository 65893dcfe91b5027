import type { Spec } from 'vega';
import type { Chart } from '../blocks.js';
import { compileChart, type DataColumns } from '../chart/compileChart.js';
import { staticSvg } from '../chart/staticSvg.js';
import { html, type Markup } from '../html.js';
import { tableMarkup } from './table.js';

/** The plots of one page: pictures for now, specs and data for the browser; equal specs are kept once. */
export class PageCharts {
    readonly #specs = new Map<string, number>();
    readonly #charts: { id: string; spec: number; data: DataColumns }[] = [];

    async figure(chart: Chart): Promise<Markup> {
        const id = `plot-${this.#charts.length + 1}`;
        const compiled = compileChart(chart);
        const key = JSON.stringify(compiled.vega);
        if (!this.#specs.has(key)) this.#specs.set(key, this.#specs.size);
        this.#charts.push({ id, spec: this.#specs.get(key)!, data: compiled.data });
        return html`<figure><figcaption>${chart.title}</figcaption>
<div class="plot" id="${id}" role="img" aria-label="${chart.alt}">${await staticSvg(compiled, id)}</div>
<details><summary>Numbers of this plot</summary>${tableMarkup(chart.table)}</details></figure>
`;
    }

    /** What `browser/runtime.ts` reads. */
    get payload(): { specs: Spec[]; charts: readonly object[] } {
        return { specs: [...this.#specs.keys()].map((text) => JSON.parse(text)), charts: this.#charts };
    }
}
