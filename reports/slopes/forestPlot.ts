import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, fixed } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import { chassisOf, type PanelKey, type Rows, samePanel } from './rows.js';
import { angle, direction, slopeName } from './words.js';

type Interval = Rows['forest'][number];

export const forestLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'own slope, 95 % t interval' },
    { mark: 'diamond', paint: paint.second, label: 'shrunken slope, ± 1.96 standard errors' },
    { mark: 'band', paint: paint.third, label: 'what geometry alone expects (95 %)' },
    { mark: 'arrow', paint: paint.first, label: 'goes on beyond the picture' },
];

const kinds = ['own', 'shrunken'];

function spec(key: PanelKey, rows: readonly Interval[]): ChartSpec {
    const { frame_low_deg_per_mm: low, frame_high_deg_per_mm: high } = rows[0]!;
    const chassis = chassisOf(rows);
    const x = {
        type: 'quantitative' as const,
        title: `° of ${angle[key.response]} per mm ${direction[key.axis]}`,
        scale: { domain: [low, high], nice: false },
        axis: { tickCount: 4 },
    };
    const y = {
        field: 'chassis',
        type: 'nominal' as const,
        title: null,
        sort: chassis,
        scale: { domain: chassis },
        axis: { grid: false, minExtent: 78, maxExtent: 78, labelLimit: 74 },
    };
    const beside = {
        y,
        yOffset: { field: 'kind', type: 'nominal' as const, scale: { domain: kinds, paddingOuter: 0.7 } },
        color: {
            field: 'kind',
            type: 'nominal' as const,
            legend: null,
            scale: { domain: kinds, range: [paint.first, paint.second] },
        },
    };
    const tooltip = [
        { field: 'chassis', title: 'chassis' },
        { field: 'kind', title: 'slope' },
        { field: 'slope_deg_per_mm', title: '° per mm', format: '.4f' },
        { field: 'low_deg_per_mm', title: '95 % low', format: '.4f' },
        { field: 'high_deg_per_mm', title: '95 % high', format: '.4f' },
        { field: 'move_count', title: 'moves' },
        { field: 'vehicle_count', title: 'cars' },
    ];
    const head = (field: 'beyond_low' | 'beyond_high', angleDeg: number): ChartSpec['layer'][number] => ({
        data: { name: 'forest' },
        mark: { type: 'point', shape: 'triangle-up', size: 44, angle: angleDeg, filled: true },
        encoding: { ...beside, x: { ...x, field }, tooltip },
    });
    return {
        height: 56 + 34 * chassis.length,
        layer: [
            {
                data: { name: 'forest' },
                mark: { type: 'rect', clip: true, color: paint.third, opacity: 0.16 },
                encoding: {
                    x: { ...x, field: 'prior_low_deg_per_mm', aggregate: 'min' },
                    x2: { field: 'prior_high_deg_per_mm', aggregate: 'min' },
                },
            },
            {
                data: { name: 'forest' },
                mark: { type: 'rule', strokeWidth: 1.6 },
                encoding: {
                    ...beside,
                    x: { ...x, field: 'low_shown' },
                    x2: { field: 'high_shown' },
                    tooltip,
                },
            },
            {
                data: { name: 'forest' },
                mark: { type: 'point', filled: true, opacity: 1, size: 46 },
                encoding: {
                    ...beside,
                    x: { ...x, field: 'slope_shown' },
                    shape: {
                        field: 'kind',
                        type: 'nominal',
                        legend: null,
                        scale: { domain: kinds, range: ['circle', 'diamond'] },
                    },
                    tooltip,
                },
            },
            head('beyond_low', 270),
            head('beyond_high', 90),
        ],
    };
}

const columns: Column<Interval>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'slope', value: (row) => row.kind },
    { title: '°/mm', value: (row) => row.slope_deg_per_mm, digits: 4 },
    { title: '95 % low', value: (row) => row.low_deg_per_mm, digits: 4 },
    { title: '95 % high', value: (row) => row.high_deg_per_mm, digits: 4 },
    { title: 'moves', value: (row) => row.move_count },
    { title: 'cars', value: (row) => row.vehicle_count },
];

/** Own and shrunken slopes of all chassis of the page for one response and axis. */
export function forestPlot(rows: Rows, key: PanelKey): Chart {
    const here = rows.forest.filter(samePanel(key));
    const title = slopeName(key);
    const prior = here[0]!;
    return {
        kind: 'chart',
        title: capital(title),
        alt: `Own and shrunken slopes of ${title} with 95 % intervals for ${counted(chassisOf(here).length, 'chassis', 'chassis')}; geometry alone expects ${fixed(prior.prior_low_deg_per_mm, 3)} to ${fixed(prior.prior_high_deg_per_mm, 3)} degrees per millimetre.`,
        spec: spec(key, here),
        data: { forest: here },
        table: table(`Slopes of ${title}`, here, columns),
    };
}
