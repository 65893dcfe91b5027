import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { listed, percent } from '../../src/report/format.js';
import { hundred } from '../../src/units/percent.js';
import { bestRows, type Range, type Rows } from './rows.js';

type Point = Rows['coverage'][number];

const kinds = ['kit 1', 'kit 2', 'kit 3'];
const paints = [paint.first, paint.second, paint.third];
const marks = ['circle', 'diamond', 'triangle'] as const;

/** The kits of the curves, and what else is in them. */
export function coverageLegend({ plates }: Rows): LegendEntry[] {
    const kits = [...new Set(plates.map((row) => row.kit))].slice(0, kinds.length);
    return [
        ...kits.map(
            (kit, place): LegendEntry => ({
                mark: marks[place]!,
                paint: paints[place]!,
                label: `${kit}; the mark stands at the length it has`,
            }),
        ),
        { mark: 'band', paint: paint.first, label: '95 % interval' },
    ];
}

const columns: Column<Point>[] = [
    { title: 'kit', value: (row) => row.kit },
    { title: 'half-length, mm', value: (row) => row.length_mm, digits: 1 },
    { title: 'reached, %', value: (row) => hundred(row.share), digits: 0 },
    { title: '95 % low', value: (row) => hundred(row.low), digits: 0 },
    { title: '95 % high', value: (row) => hundred(row.high), digits: 0 },
];

const colour = {
    field: 'drawn_as',
    type: 'nominal' as const,
    legend: null,
    scale: { domain: kinds, range: paints },
};
const x = { field: 'length_mm', type: 'quantitative' as const, title: 'half-length of the slot, mm' };
const y = {
    type: 'quantitative' as const,
    title: 'corners reached',
    axis: { format: '.0%' },
    scale: { domain: [0, 1], nice: false },
};

const spec: ChartSpec = {
    height: 230,
    layer: [
        {
            data: { name: 'coverage' },
            mark: { type: 'area', opacity: 0.12 },
            encoding: { x, y: { ...y, field: 'low' }, y2: { field: 'high' }, color: colour },
        },
        {
            data: { name: 'coverage' },
            mark: { type: 'line', strokeWidth: 1.8, interpolate: 'step-after' },
            encoding: {
                x,
                y: { ...y, field: 'share' },
                color: colour,
                strokeDash: {
                    field: 'drawn_as',
                    type: 'nominal',
                    legend: null,
                    scale: {
                        domain: kinds,
                        range: [
                            [1, 0],
                            [6, 3],
                            [2, 2],
                        ],
                    },
                },
            },
        },
        {
            data: { name: 'coverage' },
            mark: { type: 'point', filled: true, size: 70, opacity: 1 },
            encoding: {
                x,
                y: { ...y, field: 'present_share' },
                color: colour,
                shape: {
                    field: 'drawn_as',
                    type: 'nominal',
                    legend: null,
                    scale: { domain: kinds, range: ['circle', 'diamond', 'triangle-up'] },
                },
                tooltip: [
                    { field: 'kit' },
                    { field: 'length_mm', title: 'half-length, mm', format: '.1f' },
                    { field: 'present_share', title: 'reached', format: '.0%' },
                    { field: 'low', title: '95 % low', format: '.0%' },
                    { field: 'high', title: '95 % high', format: '.0%' },
                ],
            },
        },
    ],
};

/** Share reached as a function of the half-length of the slot, for one chassis and target. */
export function coveragePlot(rows: Rows, group: Range): Chart {
    const coverage = rows.coverage.filter((row) => row.group_rank === group.group_rank);
    const best = bestRows(rows).filter((row) => row.group_rank === group.group_rank && row.kit !== null);
    const now = best.map((row) => `${row.kit} reaches ${percent(row.share_reachable)}`);
    return {
        kind: 'chart',
        title: `${group.chassis}, ${group.target}: length of the slot`,
        alt: `Share of corners reached by half-length of the slot, with 95 % intervals; as they are ${listed(now)}.`,
        spec,
        data: { coverage },
        table: table(`${group.chassis}, ${group.target}: share reached by length`, coverage, columns),
    };
}
