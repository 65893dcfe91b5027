import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Database } from '../../db/database.js';
import { UserError } from '../../errors/errors.js';
import { cannotWrite, nothingDrawn } from '../../errors/messages.js';
import { systemReason } from '../../errors/systemReason.js';
import type { Block, Chart, Drawing } from '../blocks.js';
import { compileChart, fullSpec } from '../chart/compileChart.js';
import { usedFields } from '../chart/fields.js';
import { staticSvg } from '../chart/staticSvg.js';
import type { ReportChoice } from '../choice.js';
import { makeFolder } from '../makeFolder.js';
import { pageAssets } from '../page/assets.js';
import { listReports } from '../registry.js';
import { reportContent } from '../renderReport.js';
import { lightPaints, planRules } from './pageStyle.js';
import { painted, standaloneSvg } from './standaloneSvg.js';

export const imageFormats = ['svg', 'png', 'vl.json'] as const;
export type ImageFormat = (typeof imageFormats)[number];

const schema = 'https://vega.github.io/schema/vega-lite/v6.json';

function figuresIn(block: Block): (Chart | Drawing)[] {
    if (block.kind === 'chart' || block.kind === 'drawing') return [block];
    return block.kind === 'group' ? block.blocks.flatMap(figuresIn) : [];
}

/** A plot as Vega-Lite with its rows, for whoever wants to draw on. */
function vegaLite(chart: Chart, isPicture: boolean, paints: Record<string, string>): string {
    const datasets = Object.fromEntries(
        [...usedFields(chart.spec)].map(([name, fields]) => [
            name,
            ((chart.data[name] ?? []) as readonly Record<string, unknown>[]).map((row) =>
                Object.fromEntries([...fields].sort().map((field) => [field, row[field] ?? null])),
            ),
        ]),
    );
    const text = painted(JSON.stringify({ ...fullSpec(chart.spec, isPicture), datasets }), paints);
    const { config, ...spec } = JSON.parse(text);
    const whole = {
        $schema: schema,
        title: chart.title,
        description: chart.alt,
        ...spec,
        config: { ...config, background: paints.paper },
    };
    return `${JSON.stringify(whole, null, 1)}\n`;
}

interface WrittenImage {
    name: string;
    file: string;
    bytes: number;
}

/**
 * Writes the pictures of the pages `names`, or of all, into the folder `out` as files of their own, `NAME-1` the one that the page opens
 * with; needs no browser. As `vl.json` plots only: a drawing has no specification. Throws a {@link UserError} where there is nothing to
 * draw or a file cannot be written.
 */
export async function writeImages(
    db: Database,
    names: readonly string[],
    out: string,
    format: ImageFormat,
    choice: ReportChoice = {},
): Promise<WrittenImage[]> {
    const { style } = pageAssets();
    const paints = lightPaints(style);
    const rules = planRules(style);
    const svgOf = async (figure: Chart | Drawing, isPicture: boolean): Promise<string> => {
        if (figure.kind === 'drawing') {
            return standaloneSvg(
                figure.svg.text,
                figure,
                paints,
                figure.svg.text.includes('"plan"') ? rules : '',
            );
        }
        const svg = await staticSvg(compileChart(figure, undefined, isPicture), 'plot');
        return standaloneSvg(svg.text, figure, paints, '');
    };
    const written: WrittenImage[] = [];
    makeFolder(out);
    for (const name of names.length === 0 ? listReports() : names) {
        const { picture, sections } = await reportContent(name, db, choice);
        const opening = picture.flatMap(figuresIn);
        const figures = [...opening, ...sections.flatMap(({ blocks }) => blocks.flatMap(figuresIn))].filter(
            ({ kind }) => format !== 'vl.json' || kind === 'chart',
        );
        if (figures.length === 0 && names.length > 0)
            throw new UserError(nothingDrawn(name, format), 'not_in_data');
        for (const [place, figure] of figures.entries()) {
            const isPicture = opening.includes(figure);
            const content =
                format === 'vl.json'
                    ? vegaLite(figure as Chart, isPicture, paints)
                    : format === 'svg'
                      ? await svgOf(figure, isPicture)
                      : await (await import('./png.js')).pngOf(await svgOf(figure, isPicture));
            const file = join(out, `${name}-${place + 1}.${format}`);
            try {
                writeFileSync(file, content);
            } catch (error) {
                throw new UserError(cannotWrite(file, systemReason(error)), 'cannot_write');
            }
            written.push({ name, file, bytes: Buffer.byteLength(content) });
        }
    }
    return written;
}
