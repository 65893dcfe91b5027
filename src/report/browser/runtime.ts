import { parse, View } from 'vega';
import { expressionInterpreter } from 'vega-interpreter';
import type { DataColumns } from '../chart/compileChart.js';
import { unpackColumn } from '../chart/packedColumn.js';
import { withData } from '../chart/rows.js';
import type { ChartPayload } from '../page/charts.js';
import { wakeFilters } from './filters.js';
import { type Highlighter, highlighter } from './highlight.js';
import { offerToSave } from './save.js';
import { nameCells } from './stack.js';
import { tellOnTap } from './tap.js';
import { tooltipBox } from './tooltip.js';
import { wakeWhatIf } from './whatIf.js';

type PageChart = ChartPayload['charts'][number];

const page = JSON.parse(document.getElementById('charts')!.textContent!) as ChartPayload;
const tooltip = tooltipBox();
const highlight = highlighter();
wakeFilters();
wakeWhatIf();
nameCells();
tellOnTap(tooltip);
offerToSave();

/** Ties the signal `highlighted`, where the plot has one, to the select of the page and to clicks on marks. */
function follow(view: View, { field, value, choose, onChange }: Highlighter): void {
    view.signal('highlighted', value());
    onChange((chosen) => void view.signal('highlighted', chosen).runAsync());
    view.addEventListener('click', (_event, item) => {
        const clicked = (item?.datum as Record<string, unknown> | undefined)?.[field];
        if (typeof clicked === 'string') choose(clicked === value() ? '' : clicked);
    });
}

function dataOf({ spec, data }: PageChart): DataColumns {
    const { fields } = page.specs[spec]!;
    const column = (name: string, place: number) => unpackColumn(page.columns[data[name]![place]!]!);
    return Object.fromEntries(
        Object.entries(fields).map(([name, list]) => [
            name,
            Object.fromEntries(list.map((field, place) => [field, column(name, place)])),
        ]),
    );
}

/** Puts the live plot in the place of the picture. */
async function wake(plot: HTMLElement, chart: PageChart): Promise<void> {
    const { vega } = page.specs[chart.spec]!;
    const container = document.createElement('div');
    // The frame around it has the text alternative; the roles that Vega writes have no names.
    container.ariaHidden = 'true';
    const view = new View(parse(withData(vega, dataOf(chart)), undefined, { ast: true }), {
        expr: expressionInterpreter as never,
        renderer: 'svg',
        container,
        hover: true,
    });
    view.tooltip(tooltip as never).width(plot.clientWidth);
    if (highlight !== null && vega.signals?.some(({ name }) => name === 'highlighted'))
        follow(view, highlight);
    await view.runAsync();
    plot.replaceChildren(container);
    plot.dataset.live = '';
    new ResizeObserver(() => {
        if (plot.clientWidth > 0 && plot.clientWidth !== view.width())
            void view.width(plot.clientWidth).runAsync();
    }).observe(plot);
}

const sleeping = new Map(
    page.charts.map((chart, place) => [document.getElementById(`plot-${place + 1}`)! as Element, chart]),
);
const observer = new IntersectionObserver(
    (entries) => {
        for (const { isIntersecting, target } of entries) {
            const chart = sleeping.get(target);
            if (!isIntersecting || chart === undefined) continue;
            sleeping.delete(target);
            observer.unobserve(target);
            void wake(target as HTMLElement, chart);
        }
    },
    { rootMargin: '400px' },
);
for (const plot of sleeping.keys()) observer.observe(plot);
