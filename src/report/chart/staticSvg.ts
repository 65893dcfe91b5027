import { parse, resetSVGDefIds, View } from 'vega';
import { Markup } from '../html.js';
import type { CompiledChart } from './compileChart.js';
import { withData } from './rows.js';

/** The plot as SVG that stands without scripts; `id` keeps its inner ids apart from those of other plots. */
export async function staticSvg(chart: CompiledChart, id: string): Promise<Markup> {
    resetSVGDefIds();
    const view = new View(parse(withData(chart.vega, chart.data)), { renderer: 'none' });
    const svg = await view.toSVG();
    view.finalize();
    return new Markup(tidy(svg).replace(/(\bid="|url\(#)/g, `$1${id}-`));
}

/** Leaves out what Vega writes but nobody sees. */
function tidy(svg: string): string {
    return svg
        .replace(/ xmlns(:xlink)?="[^"]*"| version="1\.1"/g, '')
        .replace(/<path class="foreground"[^>]*display="none"\/>/g, '')
        .replace(/<path class="background"[^>]*d="M0,0h0v0h0Z"[^>]*\/>/g, '')
        .replace(/<text [^>]*opacity="0"[^>]*>[^<]*<\/text>/g, '')
        .replace(/ (role="graphics-[a-z]+"|aria-roledescription="[^"]*"|aria-hidden="true"|opacity="1")/g, '')
        .replace(/-?\d+\.\d{3,}/g, (number) => String(Math.round(Number(number) * 100) / 100));
}
