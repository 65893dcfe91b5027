import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { chassisOf, type PanelKey, type Rows, samePanel } from './rows.js';
import { slopeName } from './words.js';

type Length = Rows['lengths'][number];

export const lengthsLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'effective length, 95 % interval' },
    { mark: 'band', paint: paint.third, label: 'plausible, 400 to 900 mm' },
    { mark: 'arrow', paint: paint.first, label: 'lies or goes on beyond the picture' },
];

function spec(rows: readonly Length[]): ChartSpec {
    const chassis = chassisOf(rows);
    const x = {
        type: 'quantitative' as const,
        title: 'effective length, mm',
        scale: { domain: [300, 1100], nice: false },
    };
    const y = {
        field: 'chassis',
        type: 'nominal' as const,
        title: null,
        sort: chassis,
        scale: { domain: chassis },
        axis: { grid: false, minExtent: 78, maxExtent: 78, labelLimit: 74 },
    };
    const tooltip = [
        { field: 'chassis', title: 'chassis' },
        { field: 'effective_length_mm', title: 'length, mm', format: '.0f' },
        { field: 'low_mm', title: '95 % low', format: '.0f' },
        { field: 'high_mm', title: '95 % high', format: '.0f' },
    ];
    const head = (field: 'beyond_low' | 'beyond_high', angleDeg: number): ChartSpec['layer'][number] => ({
        data: { name: 'lengths' },
        mark: {
            type: 'point',
            shape: 'triangle-up',
            size: 44,
            angle: angleDeg,
            filled: true,
            color: paint.first,
        },
        encoding: { y, x: { ...x, field }, tooltip },
    });
    return {
        height: 56 + 26 * chassis.length,
        layer: [
            {
                data: { name: 'lengths' },
                mark: { type: 'rect', color: paint.third, opacity: 0.16 },
                encoding: {
                    x: { ...x, field: 'plausible_low_mm', aggregate: 'min' },
                    x2: { field: 'plausible_high_mm', aggregate: 'min' },
                },
            },
            {
                data: { name: 'lengths' },
                mark: { type: 'rule', strokeWidth: 1.6, color: paint.first },
                encoding: { y, x: { ...x, field: 'low_shown' }, x2: { field: 'high_shown' }, tooltip },
            },
            {
                data: { name: 'lengths' },
                mark: { type: 'point', filled: true, opacity: 1, size: 46, color: paint.first },
                encoding: { y, x: { ...x, field: 'length_shown' }, tooltip },
            },
            head('beyond_low', 270),
            head('beyond_high', 90),
        ],
    };
}

const columns: Column<Length>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'length, mm', value: (row) => row.effective_length_mm, digits: 0 },
    { title: '95 % low', value: (row) => row.low_mm, digits: 0 },
    { title: '95 % high', value: (row) => row.high_mm, digits: 0 },
    { title: 'implausible because', value: (row) => row.flag },
];

/** Effective lengths that the slopes of one response tell. */
export function lengthsPlot(rows: Rows, key: PanelKey): Chart {
    const here = rows.lengths.filter(samePanel(key));
    const title = `From ${slopeName(key)}`;
    return {
        kind: 'chart',
        title,
        alt: `Effective lengths in millimetres with 95 % intervals for ${counted(here.length, 'chassis', 'chassis')}, ${title.toLowerCase()}; 400 to 900 is plausible.`,
        spec: spec(here),
        data: { lengths: here },
        table: table(`Effective lengths ${title.toLowerCase()}`, here, columns),
    };
}
