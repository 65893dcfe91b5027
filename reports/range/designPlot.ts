import type { Chart, ChartSpec, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { percent } from '../../src/report/format.js';
import { hundred } from '../../src/units/percent.js';
import type { Range, Rows } from './rows.js';

type Point = Rows['designs'][number];

const titles: Record<Point['variant'], [string, string]> = {
    'middle out': ['middle outboard', 'shift outboard at index 1, mm'],
    'middle aft': ['middle rearward', 'shift rearward at index 1, mm'],
    angle: ['angle of the slot', 'turn from outboard towards rearward, °'],
};

function spec(variant: Point['variant']): ChartSpec {
    const axis = { type: 'quantitative' as const, title: titles[variant][1] };
    const x = { ...axis, field: 'change' };
    const y = {
        type: 'quantitative' as const,
        title: 'corners reached',
        axis: { format: '.0%' },
        scale: { domain: [0, 1], nice: false },
    };
    return {
        height: 170,
        layer: [
            {
                data: { name: 'designs' },
                mark: { type: 'area', opacity: 0.15, color: paint.first },
                encoding: { x, y: { ...y, field: 'low' }, y2: { field: 'high' } },
            },
            {
                data: { name: 'designs' },
                mark: {
                    type: 'line',
                    strokeWidth: 1.8,
                    color: paint.first,
                    point: { size: 18, color: paint.first },
                },
                encoding: {
                    x,
                    y: { ...y, field: 'share' },
                    tooltip: [
                        { field: 'change', title: 'change' },
                        { field: 'share', title: 'reached', format: '.0%' },
                        { field: 'low', title: '95 % low', format: '.0%' },
                        { field: 'high', title: '95 % high', format: '.0%' },
                    ],
                },
            },
            {
                data: { name: 'designs' },
                mark: { type: 'rule', color: paint.ink, strokeDash: [4, 3], strokeWidth: 1.2 },
                encoding: { x: { ...axis, datum: 0 } },
            },
        ],
    };
}

const columns: Column<Point>[] = [
    { title: 'change', value: (row) => row.change, digits: 0 },
    { title: 'reached, %', value: (row) => hundred(row.share), digits: 0 },
    { title: '95 % low', value: (row) => hundred(row.low), digits: 0 },
    { title: '95 % high', value: (row) => hundred(row.high), digits: 0 },
];

/** Share reached when the middle or the angle of the slot is changed, for one chassis and target; null where there is none. */
export function designPlot(rows: Rows, group: Range, variant: Point['variant']): Chart | null {
    const designs = rows.designs.filter(
        (row) => row.group_rank === group.group_rank && row.variant === variant,
    );
    if (designs.length === 0) return null;
    const top = designs.reduce((best, row) => (row.share! > best.share! ? row : best));
    const title = `${group.chassis}, ${group.target}: ${titles[variant][0]}`;
    return {
        kind: 'chart',
        title,
        alt: `${title} of ${top.kit}: share of corners reached by ${titles[variant][1]}; most, ${percent(top.share)}, at ${top.change}.`,
        spec: spec(variant),
        data: { designs },
        table: table(`${title}, ${titles[variant][1]}`, designs, columns),
    };
}
