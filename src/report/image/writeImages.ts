import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ReportRow } from '../../contracts/results/report.js';
import type { Database } from '../../db/database.js';
import { UserError } from '../../errors/errors.js';
import { nothingDrawn } from '../../errors/messages.js';
import { writing } from '../../errors/writing.js';
import type { Block, Chart, Drawing } from '../blocks.js';
import { compileChart, fullSpec } from '../chart/compileChart.js';
import { usedFields } from '../chart/fields.js';
import { staticSvg } from '../chart/staticSvg.js';
import type { ReportChoice } from '../choice.js';
import { makeFolder } from '../makeFolder.js';
import { pageAssets } from '../page/assets.js';
import { symbol } from '../page/legend.js';
import { listReports } from '../registry.js';
import { reportContent } from '../renderReport.js';
import { lightPaints, planRules } from './pageStyle.js';
import { painted, type SavedKey, savedTitle, standaloneSvg } from './standaloneSvg.js';

export const imageFormats = ['svg', 'png', 'vl.json'] as const;
export type ImageFormat = (typeof imageFormats)[number];

const schema = 'https://vega.github.io/schema/vega-lite/v6.json';

interface Figure {
    figure: Chart | Drawing;
    title: string;
    /** The legend that stands beside it, or beside the group that it is in. */
    keys: readonly SavedKey[];
    isPicture: boolean;
}

function figuresIn(
    blocks: readonly Block[],
    isPicture = false,
    around: readonly SavedKey[] = [],
    group = '',
): Figure[] {
    const own = blocks.flatMap((block) =>
        block.kind === 'legend'
            ? block.entries.map((entry) => ({ symbol: symbol(entry).text, label: entry.label }))
            : [],
    );
    const keys = own.length > 0 ? own : around;
    return blocks.flatMap((block) => {
        if (block.kind === 'chart' || block.kind === 'drawing')
            return [{ figure: block, title: savedTitle(group, block.title), keys, isPicture }];
        return block.kind === 'group' ? figuresIn(block.blocks, false, keys, block.title) : [];
    });
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
): Promise<ReportRow[]> {
    const { style } = pageAssets();
    const paints = lightPaints(style);
    const rules = planRules(style);
    const svgOf = async ({ figure, title, keys, isPicture }: Figure): Promise<string> => {
        const { text } =
            figure.kind === 'drawing'
                ? figure.svg
                : await staticSvg(compileChart(figure, undefined, isPicture), 'plot');
        return standaloneSvg(
            text,
            { title, alt: figure.alt },
            keys,
            paints,
            text.includes('"plan"') ? rules : '',
        );
    };
    const written: ReportRow[] = [];
    makeFolder(out);
    for (const name of names.length === 0 ? listReports() : names) {
        const { picture, sections } = await reportContent(name, db, choice);
        const figures = [
            ...figuresIn(picture, true),
            ...sections.flatMap(({ blocks }) => figuresIn(blocks)),
        ].filter(({ figure }) => format !== 'vl.json' || figure.kind === 'chart');
        if (figures.length === 0 && names.length > 0)
            throw new UserError(nothingDrawn(name, format), 'not_in_data');
        for (const [place, figure] of figures.entries()) {
            const content =
                format === 'vl.json'
                    ? vegaLite(figure.figure as Chart, figure.isPicture, paints)
                    : format === 'svg'
                      ? await svgOf(figure)
                      : await (await import('./png.js')).pngOf(await svgOf(figure));
            const file = join(out, `${name}-${place + 1}.${format}`);
            writing(file, () => writeFileSync(file, content));
            written.push({ name, file, bytes: Buffer.byteLength(content) });
        }
    }
    return written;
}
