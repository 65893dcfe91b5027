import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { angleAxis } from '../../src/report/chart/angleAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import { cornerName } from '../../src/units/cornerName.js';
import { type AreaPoint, bestWay, type Rows, subjectWords, type Way } from './rows.js';

export const areasLegend: LegendEntry[] = [
    { mark: 'line', paint: paint.first, label: 'reach of the left plate (L1 = in index 1)' },
    { mark: 'dashed', paint: paint.second, label: 'reach of the right plate' },
    { mark: 'ring', paint: paint.ink, label: 'as read now' },
    { mark: 'diamond', paint: paint.ink, label: 'setting of the best way' },
    { mark: 'band', paint: paint.third, label: 'tolerance of the target' },
];

function spec(first: Way): ChartSpec {
    const camber = angleAxis('camber, °', first.frame_low_camber_deg, first.frame_high_camber_deg);
    const caster = angleAxis('caster, °', first.frame_low_caster_deg, first.frame_high_caster_deg);
    const colour = {
        field: 'plate_hand',
        type: 'nominal' as const,
        legend: null,
        scale: { domain: ['left', 'right'], range: [paint.first, paint.second] },
    };
    const reached = { x: { ...camber, field: 'camber_deg' }, y: { ...caster, field: 'caster_deg' } };
    return {
        height: 260,
        layer: [
            {
                data: { name: 'ways' },
                mark: { type: 'rect', color: paint.third, opacity: 0.2, stroke: paint.third },
                encoding: {
                    x: { ...camber, field: 'box_low_camber_deg' },
                    x2: { field: 'box_high_camber_deg' },
                    y: { ...caster, field: 'box_low_caster_deg' },
                    y2: { field: 'box_high_caster_deg' },
                },
            },
            {
                data: { name: 'ways' },
                mark: {
                    type: 'text',
                    align: 'left',
                    baseline: 'bottom',
                    dx: 2,
                    dy: -3,
                    fontSize: 11,
                    color: paint.muted,
                    limit: 110,
                },
                encoding: {
                    x: { ...camber, field: 'box_low_camber_deg' },
                    y: { ...caster, field: 'box_high_caster_deg' },
                    text: { field: 'target' },
                },
            },
            {
                data: { name: 'areas' },
                mark: { type: 'line', strokeWidth: 2, point: false },
                encoding: {
                    ...reached,
                    color: colour,
                    detail: { field: 'clocking' },
                    order: { field: 'path_order' },
                    strokeDash: {
                        field: 'plate_hand',
                        type: 'nominal',
                        legend: null,
                        scale: {
                            domain: ['left', 'right'],
                            range: [
                                [1, 0],
                                [5, 3],
                            ],
                        },
                    },
                },
            },
            {
                data: { name: 'areas' },
                transform: [{ filter: 'datum.is_end' }],
                mark: {
                    type: 'text',
                    fontSize: 11,
                    fontWeight: 600,
                    dy: { expr: "datum.plate_hand === 'left' ? -9 : 10" },
                },
                encoding: { ...reached, color: colour, text: { field: 'label' } },
            },
            {
                data: { name: 'ways' },
                mark: { type: 'point', filled: false, size: 60, strokeWidth: 1.8, color: paint.ink },
                encoding: {
                    x: { ...camber, field: 'present_camber_deg' },
                    y: { ...caster, field: 'present_caster_deg' },
                },
            },
            {
                data: { name: 'ways' },
                mark: {
                    type: 'point',
                    shape: 'diamond',
                    filled: true,
                    size: 70,
                    opacity: 1,
                    color: paint.ink,
                },
                encoding: {
                    ...reached,
                    tooltip: [
                        { field: 'target' },
                        { field: 'mark_1', title: 'mark' },
                        { field: 'camber_deg', title: 'camber, °', format: '.2f' },
                        { field: 'caster_deg', title: 'caster, °', format: '.2f' },
                        { field: 'p_in_tolerance', title: 'in tolerance', format: '.2f' },
                    ],
                },
            },
        ],
    };
}

const columns: Column<AreaPoint>[] = [
    { title: 'plate', value: (row) => row.plate_hand },
    { title: 'index', value: (row) => row.plate_index },
    { title: 'mark', value: (row) => row.mark_1 },
    { title: '2nd', value: (row) => row.mark_2 },
    { title: 'out, mm', value: (row) => row.out_mm, digits: 1 },
    { title: 'aft, mm', value: (row) => row.aft_mm, digits: 1 },
    { title: 'camber', value: (row) => row.camber_deg, digits: 2 },
    { title: 'caster', value: (row) => row.caster_deg, digits: 2 },
];

/** What the plates reach on one side, in the plane of camber and caster. */
export function areasPlot(rows: Rows, corner: 'FL' | 'FR'): Chart {
    const ways = bestWay(rows).filter((row) => row.corner === corner);
    const areas = rows.areas.filter((row) => row.corner === corner);
    const name = cornerName(corner);
    return {
        kind: 'chart',
        title: `What the plates reach, ${name}`,
        alt: `Camber and caster that each plate reaches in each index ${name} of ${subjectWords(rows)}, with the present angles and the tolerances of ${ways.map((row) => row.target).join(' and ')}.`,
        spec: spec(ways[0]!),
        data: { ways, areas },
        table: table(`Reach of the plates, ${name}`, areas, columns),
    };
}
