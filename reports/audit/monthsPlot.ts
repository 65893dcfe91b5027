import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { hundred } from '../../src/units/percent.js';
import type { Rows } from './rows.js';

type Month = Rows['months'][number];

export const monthsLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'share of visits that missed, within the limits' },
    { mark: 'triangle', paint: paint.second, label: 'beyond the limits' },
    { mark: 'line', paint: paint.ink, label: 'centre line, all months' },
    {
        mark: 'band',
        paint: paint.first,
        label: 'within three standard deviations for the visits of the month',
    },
];

const states = ['within the limits', 'beyond the limits'];

function spec(): ChartSpec {
    const x = {
        field: 'month',
        type: 'temporal' as const,
        timeUnit: 'utcyearmonth' as const,
        title: null,
        axis: { format: '%b %Y', labelAngle: 0, grid: false, tickCount: 4, labelFlush: true },
    };
    const middle = { ...x, bandPosition: 0.5 };
    const y = {
        type: 'quantitative' as const,
        title: 'visits that missed',
        axis: { format: '.0%' },
        scale: { domainMin: 0 },
    };
    return {
        height: 230,
        layer: [
            {
                data: { name: 'months' },
                mark: { type: 'bar', color: paint.first, opacity: 0.18, width: { band: 1 } },
                encoding: { x, y: { ...y, field: 'chart_low' }, y2: { field: 'chart_high' } },
            },
            {
                data: { name: 'months' },
                mark: { type: 'line', color: paint.ink, strokeWidth: 1.5 },
                encoding: { x: middle, y: { ...y, field: 'chart_centre' } },
            },
            {
                data: { name: 'months' },
                mark: { type: 'line', color: paint.first, strokeWidth: 1 },
                encoding: { x: middle, y: { ...y, field: 'miss_share' } },
            },
            {
                data: { name: 'months' },
                mark: { type: 'point', filled: true, size: 60, opacity: 1 },
                encoding: {
                    x: middle,
                    y: { ...y, field: 'miss_share' },
                    shape: {
                        field: 'state',
                        type: 'nominal',
                        legend: null,
                        scale: { domain: states, range: ['circle', 'triangle-up'] },
                    },
                    color: {
                        field: 'state',
                        type: 'nominal',
                        legend: null,
                        scale: { domain: states, range: [paint.first, paint.second] },
                    },
                    tooltip: [
                        { field: 'month' },
                        { field: 'miss_count', title: 'missed' },
                        { field: 'count', title: 'visits' },
                        { field: 'miss_share', title: 'share', format: '.0%' },
                        { field: 'chart_low', title: 'lower limit', format: '.0%' },
                        { field: 'chart_high', title: 'upper limit', format: '.0%' },
                    ],
                },
            },
        ],
    };
}

const columns: Column<Month>[] = [
    { title: 'month', value: (row) => row.month },
    { title: 'visits', value: (row) => row.count },
    { title: 'missed', value: (row) => row.miss_count },
    { title: 'share, %', value: (row) => hundred(row.miss_share), digits: 0 },
    { title: 'lower limit', value: (row) => hundred(row.chart_low), digits: 0 },
    { title: 'upper limit', value: (row) => hundred(row.chart_high), digits: 0 },
    { title: 'state', value: (row) => row.state },
];

/** P chart of visits that missed an angle of their target. */
export function monthsPlot({ months }: Rows): Chart {
    const beyond = months.filter((row) => row.state === 'beyond the limits').length;
    return {
        kind: 'chart',
        title: 'Visits that missed, by month',
        alt: `P chart of the share of visits that missed an angle over ${counted(months.length, 'month')}; ${beyond} of them beyond the limits.`,
        spec: spec(),
        data: { months },
        table: table('Visits that missed an angle of their target, by month', months, columns),
    };
}
