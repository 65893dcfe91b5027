import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { nameAxis } from '../../src/report/chart/nameAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import type { Limit, Rows } from './rows.js';

export const limitsLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'length of a sound stack' },
    { mark: 'ring', paint: paint.second, label: 'length of a stack that is not sound' },
    { mark: 'line', paint: paint.muted, label: 'worst tolerances (thin) and root sum of squares (thick)' },
    { mark: 'dashed', paint: paint.ink, label: 'least that is needed at the worst tolerances' },
    { mark: 'band', paint: paint.third, label: 'wished' },
    { mark: 'arrow', paint: paint.ink, label: 'lies or goes on beyond the picture' },
];

const titles = {
    margin: 'Parts above the shoulder',
    thread: 'Thread above the nut',
    clearance: 'Loaded mount over the spring plate',
};

function spec(rows: readonly Limit[]): ChartSpec {
    const { frame_low_mm, frame_high_mm, wish_low_mm } = rows[0]!;
    const labels = rows.map(({ label }) => label);
    const x = {
        type: 'quantitative' as const,
        title: 'mm',
        scale: { domain: [frame_low_mm, frame_high_mm], nice: false },
    };
    const y = {
        field: 'label',
        type: 'nominal' as const,
        title: null,
        sort: labels,
        axis: nameAxis(124),
    };
    const data = { name: 'limits' };
    const tooltip = [
        { field: 'label', title: 'box on shaft' },
        { field: 'length_mm', title: 'mm', format: '.2f' },
        { field: 'low_mm', title: 'worst low', format: '.2f' },
        { field: 'high_mm', title: 'worst high', format: '.2f' },
        { field: 'rss_low_mm', title: 'RSS low', format: '.2f' },
        { field: 'rss_high_mm', title: 'RSS high', format: '.2f' },
    ];
    const between = (
        low: 'shown_low_mm' | 'shown_rss_low_mm',
        high: 'shown_high_mm' | 'shown_rss_high_mm',
        strokeWidth: number,
    ) => ({
        data,
        mark: { type: 'rule' as const, strokeWidth, color: paint.muted },
        encoding: { y, x: { ...x, field: low }, x2: { field: high } },
    });
    const painted = {
        field: 'sound',
        type: 'nominal' as const,
        legend: null,
        scale: { domain: [true, false], range: [paint.first, paint.second] },
    };
    const head = (field: 'beyond_low_mm' | 'beyond_high_mm', angle: number): ChartSpec['layer'][number] => ({
        data,
        mark: { type: 'point', shape: 'triangle-up', size: 44, angle, filled: true },
        encoding: { y, x: { ...x, field }, color: painted, tooltip },
    });
    const wish: ChartSpec['layer'] =
        wish_low_mm === null
            ? []
            : [
                  {
                      data,
                      mark: { type: 'rect', color: paint.third, opacity: 0.16 },
                      encoding: {
                          x: { ...x, field: 'wish_low_mm', aggregate: 'min' },
                          x2: { field: 'wish_high_mm', aggregate: 'min' },
                      },
                  },
              ];
    return {
        height: 48 + 28 * rows.length,
        layer: [
            ...wish,
            {
                data,
                mark: { type: 'rule', strokeDash: [4, 3], color: paint.ink },
                encoding: { x: { ...x, field: 'needed_mm', aggregate: 'min' } },
            },
            between('shown_low_mm', 'shown_high_mm', 1.2),
            between('shown_rss_low_mm', 'shown_rss_high_mm', 3.5),
            {
                data,
                mark: { type: 'point', opacity: 1, size: 50, strokeWidth: 1.8 },
                encoding: {
                    y,
                    x: { ...x, field: 'shown_mm' },
                    fill: {
                        field: 'sound',
                        type: 'nominal',
                        legend: null,
                        scale: { domain: [true, false], range: [paint.first, 'transparent'] },
                    },
                    stroke: painted,
                    tooltip,
                },
            },
            head('beyond_low_mm', 270),
            head('beyond_high_mm', 90),
        ],
    };
}

const columns: Column<Limit>[] = [
    { title: 'box on shaft', value: (row) => row.label },
    { title: 'mm', value: (row) => row.length_mm, digits: 2 },
    { title: 'worst low', value: (row) => row.low_mm, digits: 2 },
    { title: 'worst high', value: (row) => row.high_mm, digits: 2 },
    { title: 'RSS low', value: (row) => row.rss_low_mm, digits: 2 },
    { title: 'RSS high', value: (row) => row.rss_high_mm, digits: 2 },
    { title: 'needed', value: (row) => row.needed_mm, digits: 2 },
    { title: 'sound', value: (row) => row.sound },
];

/** Where one of the three lengths lies for all boxes and shafts; none where no best stack has it. */
export function limitsPlot(rows: Rows, measure: Limit['measure']): Chart[] {
    const here = rows.limits.filter((row) => row.measure === measure);
    if (here.length === 0) return [];
    const title = titles[measure];
    return [
        {
            kind: 'chart',
            title,
            alt: `${title} of ${counted(here.length, 'stack')}, with what the tolerances can make of it and the ${here[0]!.needed_mm} mm that are needed.`,
            spec: spec(here),
            data: { limits: here },
            table: table(title, here, columns),
        },
    ];
}
