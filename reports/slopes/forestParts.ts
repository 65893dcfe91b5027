import type { ChartSpec, Column } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import type { Rows } from './rows.js';

/** What the picture and the plots of all slopes share. */
export type Interval = Rows['forest'][number];

export const kinds = ['own', 'shrunken'];
export const data = { name: 'forest' };

/** Slopes of the rows, on the frame that they have in common. */
export const slopeAxis = (rows: readonly Interval[], title: string) => ({
    type: 'quantitative' as const,
    title,
    scale: { domain: [rows[0]!.frame_low_deg_per_mm, rows[0]!.frame_high_deg_per_mm], nice: false },
    axis: { tickCount: 4 },
});

export const kindColor = {
    field: 'kind',
    type: 'nominal' as const,
    legend: null,
    scale: { domain: kinds, range: [paint.first, paint.second] },
};

export const kindShape = {
    field: 'kind',
    type: 'nominal' as const,
    legend: null,
    scale: { domain: kinds, range: ['circle', 'diamond'] },
};

export const tooltip = [
    { field: 'chassis', title: 'chassis' },
    { field: 'kind', title: 'slope' },
    { field: 'slope_deg_per_mm', title: '° per mm', format: '.4f' },
    { field: 'low_deg_per_mm', title: '95 % low', format: '.4f' },
    { field: 'high_deg_per_mm', title: '95 % high', format: '.4f' },
    { field: 'move_count', title: 'moves' },
    { field: 'vehicle_count', title: 'cars' },
];

/** What geometry alone expects. */
export const priorBand = (x: ReturnType<typeof slopeAxis>, opacity: number): ChartSpec['layer'][number] => ({
    data,
    mark: { type: 'rect', clip: true, color: paint.third, opacity },
    encoding: {
        x: { ...x, field: 'prior_low_deg_per_mm', aggregate: 'min' },
        x2: { field: 'prior_high_deg_per_mm', aggregate: 'min' },
    },
});

export const columns: Column<Interval>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'slope', value: (row) => row.kind },
    { title: '°/mm', value: (row) => row.slope_deg_per_mm, digits: 4 },
    { title: '95 % low', value: (row) => row.low_deg_per_mm, digits: 4 },
    { title: '95 % high', value: (row) => row.high_deg_per_mm, digits: 4 },
    { title: 'moves', value: (row) => row.move_count },
    { title: 'cars', value: (row) => row.vehicle_count },
];
