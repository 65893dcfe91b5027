import { parse, resetSVGDefIds, View } from 'vega';
import { Markup } from '../html.js';
import type { CompiledChart } from './compileChart.js';
import { withData } from './rows.js';
import { tidySvg } from './tidySvg.js';

/** The plot as SVG that stands without scripts; `id` keeps its inner ids apart from those of other plots. */
export async function staticSvg(chart: CompiledChart, id: string): Promise<Markup> {
    resetSVGDefIds();
    const view = new View(parse(withData(chart.vega, chart.data)), { renderer: 'none' });
    const svg = await view.toSVG();
    view.finalize();
    return new Markup(tidySvg(svg).replace(/(\bid="|url\(#)/g, `$1${id}-`));
}
