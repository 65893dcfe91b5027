import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { nameAxis } from '../../src/report/chart/nameAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import { hundred } from '../../src/units/percent.js';
import { angleOf, type Gauge, type Rows } from './rows.js';

export const biasLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'bias, thick: its 95 % interval' },
    { mark: 'line', paint: paint.first, label: 'thin: 95 % of single readings of one true angle' },
    { mark: 'ring', paint: paint.ink, label: 'bias not known' },
    { mark: 'dashed', paint: paint.second, label: 'tightest tolerance to be judged' },
];

function spec(own: readonly Gauge[]): ChartSpec {
    const names = [...new Set(own.map((row) => row.name))];
    const data = { name: 'gauges' };
    const { frame_deg: edge } = own[0]!;
    const x = {
        type: 'quantitative' as const,
        title: `${angleOf(own[0]!)} read above the others, °`,
        scale: { domain: [-edge, edge], nice: false },
    };
    const y = {
        field: 'name',
        type: 'nominal' as const,
        title: null,
        sort: names,
        scale: { domain: names },
        axis: nameAxis(110),
    };
    const tooltip = [
        { field: 'name', title: 'who' },
        { field: 'bias_deg', title: 'bias, °', format: '.3f' },
        { field: 'bias_low_deg', title: '95 % low', format: '.3f' },
        { field: 'bias_high_deg', title: '95 % high', format: '.3f' },
        { field: 'repeatability_deg', title: 'one reading, sd °', format: '.3f' },
        { field: 'reading_count', title: 'readings' },
    ];
    const limit = (field: string): ChartSpec['layer'][number] => ({
        data,
        mark: { type: 'rule', color: paint.second, strokeDash: [5, 4], strokeWidth: 1.5 },
        encoding: { x: { ...x, field, aggregate: 'min' } },
    });
    const rule = (low: string, high: string, strokeWidth: number): ChartSpec['layer'][number] => ({
        data,
        mark: { type: 'rule', color: paint.first, strokeWidth, clip: true },
        encoding: { y, x: { ...x, field: low }, x2: { field: high }, tooltip },
    });
    const point = (known: boolean): ChartSpec['layer'][number] => ({
        data,
        transform: [{ filter: known ? 'datum.bias_deg !== null' : 'datum.bias_deg === null' }],
        mark: {
            type: 'point',
            filled: known,
            opacity: 1,
            size: 70,
            strokeWidth: 1.8,
            color: known ? paint.first : paint.ink,
        },
        encoding: { y, x: { ...x, field: 'centre_deg' }, tooltip },
    });
    const limits = own[0]!.tolerance_deg === null ? [] : [limit('tolerance_low_deg'), limit('tolerance_deg')];
    return {
        height: Math.max(120, 44 + 26 * names.length),
        layer: [
            ...limits,
            rule('band_low_deg', 'band_high_deg', 1.4),
            rule('bias_low_deg', 'bias_high_deg', 6),
            point(true),
            point(false),
        ],
    };
}

const columns: Column<Gauge>[] = [
    { title: 'kind', value: (row) => row.kind },
    { title: 'name', value: (row) => row.name },
    { title: 'readings', value: (row) => row.reading_count },
    { title: 'bias, °', value: (row) => row.bias_deg, digits: 3 },
    { title: '95 % low', value: (row) => row.bias_low_deg, digits: 3 },
    { title: '95 % high', value: (row) => row.bias_high_deg, digits: 3 },
    { title: 'one reading, sd °', value: (row) => row.repeatability_deg, digits: 3 },
    { title: '95 % low', value: (row) => row.repeatability_low_deg, digits: 3 },
    { title: '95 % high', value: (row) => row.repeatability_high_deg, digits: 3 },
    { title: 'set-up, sd °', value: (row) => row.set_up_deg, digits: 3 },
    { title: 'known from', value: (row) => row.source },
    { title: '% of tolerance', value: (row) => hundred(row.share_of_tolerance), digits: 0 },
    { title: 'no bias because', value: (row) => row.bias_missing },
];

/** Bias and noise of gauges and people in one angle, against the tightest tolerance. */
export function biasPlot(rows: Rows, response: Gauge['response']): Chart {
    const own = rows.gauges.filter((row) => row.response === response);
    const angle = angleOf(own[0]!);
    return {
        kind: 'chart',
        title: `What each gauge and person adds to ${angle}, and how far single readings scatter`,
        alt: `Bias of ${angle} with 95 % intervals and the scatter of single readings for ${own.length} gauges and people, against the tightest tolerance.`,
        spec: spec(own),
        data: { gauges: own },
        table: table(`Gauges and people, ${angle}`, own, columns),
    };
}
