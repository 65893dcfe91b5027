import type { Chart, ChartSpec, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { angleOf, type Rows } from './rows.js';

type Month = Rows['months'][number];

/** Plots of one angle share their axes: `all` are its rows. */
const spec = (own: readonly Month[], all: readonly Month[]): ChartSpec => {
    const edge =
        1.05 *
        Math.max(
            0.02,
            ...all.flatMap((row) =>
                [row.low_deg ?? row.mean_deg, row.high_deg ?? row.mean_deg].map(Math.abs),
            ),
        );

    const times = all.map((row) => row.month).sort();
    const data = { name: 'months' };
    const x = {
        field: 'month',
        type: 'temporal' as const,
        title: null,
        axis: { format: '%b %Y', tickCount: 4, grid: false },
        scale: { domain: [times[0]!, times.at(-1)!], nice: false, padding: 12 },
    };
    const y = {
        type: 'quantitative' as const,
        title: `${angleOf(own[0]!)}, °`,
        scale: { domain: [-edge, edge], nice: false },
    };
    const tooltip = [
        { field: 'month' },
        { field: 'mean_deg', title: 'above the others, °', format: '.3f' },
        { field: 'low_deg', title: '95 % low', format: '.3f' },
        { field: 'high_deg', title: '95 % high', format: '.3f' },
        { field: 'state_count', title: 'states' },
    ];
    return {
        height: 150,
        layer: [
            {
                data,
                mark: { type: 'rule', color: paint.muted },
                encoding: { y: { ...y, datum: 0 } },
            },
            {
                data,
                mark: { type: 'rule', color: paint.first, strokeWidth: 1.6 },
                encoding: { x, y: { ...y, field: 'low_deg' }, y2: { field: 'high_deg' }, tooltip },
            },
            {
                data,
                mark: { type: 'point', filled: true, opacity: 1, size: 46, color: paint.first },
                encoding: { x, y: { ...y, field: 'mean_deg' }, tooltip },
            },
        ],
    };
};

const columns: Column<Month>[] = [
    { title: 'month', value: (row) => row.month },
    { title: 'above the others, °', value: (row) => row.mean_deg, digits: 3 },
    { title: '95 % low', value: (row) => row.low_deg, digits: 3 },
    { title: '95 % high', value: (row) => row.high_deg, digits: 3 },
    { title: 'states', value: (row) => row.state_count },
];

/** One gauge in one angle over time, where it met others. */
export function monthsPlots(rows: Rows, response: string): Chart[] {
    const own = rows.months.filter((row) => row.response === response);
    return [...new Set(own.map((row) => row.gauge))].map((gauge) => {
        const months = own.filter((row) => row.gauge === gauge);
        return {
            kind: 'chart',
            title: `${gauge}, ${angleOf(months[0]!)}`,
            alt: `What ${gauge} read above the gauges that read the same states, in ${counted(months.length, 'month')}, with 95 % intervals.`,
            spec: spec(months, own),
            data: { months },
            table: table(`${gauge}, ${angleOf(months[0]!)} by month`, months, columns),
        };
    });
}
