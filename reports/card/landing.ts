import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { angleAxis } from '../../src/report/chart/angleAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { cornerName } from '../../src/units/cornerName.js';
import { probabilityCell } from '../../src/units/probabilityWords.js';
import { type Rows, type Setting, targetsOf } from './rows.js';

export const landingLegend: LegendEntry[] = [
    { mark: 'ring', paint: paint.ink, label: 'as read now' },
    { mark: 'circle', paint: paint.first, label: 'expected, 95 % intervals' },
    { mark: 'band', paint: paint.third, label: 'tolerance of the target' },
];

/** {@link probabilityCell} as an expression of the plot. */
const chance =
    "datum.p_in_tolerance === null ? '–' : datum.p_in_tolerance > 0.995 ? 'over 0.99' : datum.p_in_tolerance < 0.005 ? 'under 0.01' : format(datum.p_in_tolerance, '.2f')";

function spec(first: Setting): ChartSpec {
    const camber = angleAxis('camber, deg', first.frame_low_camber_deg, first.frame_high_camber_deg);
    const caster = angleAxis('caster, deg', first.frame_low_caster_deg, first.frame_high_caster_deg);
    const data = { name: 'settings' };
    const tooltip = [
        { field: 'target' },
        { field: 'camber_deg', title: 'camber, deg', format: '.2f' },
        { field: 'caster_deg', title: 'caster, deg', format: '.2f' },
        { field: 'chance', title: 'in tolerance' },
    ];
    const expected = { x: { ...camber, field: 'camber_deg' }, y: { ...caster, field: 'caster_deg' } };
    return {
        height: 230,
        layer: [
            {
                data,
                mark: {
                    type: 'rect',
                    color: paint.third,
                    opacity: 0.2,
                    stroke: paint.third,
                    strokeOpacity: 1,
                },
                encoding: {
                    x: { ...camber, field: 'box_low_camber_deg' },
                    x2: { field: 'box_high_camber_deg' },
                    y: { ...caster, field: 'box_low_caster_deg' },
                    y2: { field: 'box_high_caster_deg' },
                },
            },
            {
                data,
                mark: {
                    type: 'text',
                    align: 'left',
                    baseline: 'bottom',
                    dx: 2,
                    dy: -3,
                    fontSize: 11,
                    color: paint.muted,
                },
                encoding: {
                    x: { ...camber, field: 'box_low_camber_deg' },
                    y: { ...caster, field: 'box_high_caster_deg' },
                    text: { field: 'target' },
                },
            },
            {
                data,
                mark: { type: 'rule', color: paint.first, strokeWidth: 1.6 },
                encoding: {
                    x: { ...camber, field: 'camber_low_deg' },
                    x2: { field: 'camber_high_deg' },
                    y: expected.y,
                },
            },
            {
                data,
                mark: { type: 'rule', color: paint.first, strokeWidth: 1.6 },
                encoding: {
                    x: expected.x,
                    y: { ...caster, field: 'caster_low_deg' },
                    y2: { field: 'caster_high_deg' },
                },
            },
            {
                data,
                transform: [{ calculate: chance, as: 'chance' }],
                mark: { type: 'point', filled: true, size: 52, opacity: 1, color: paint.first },
                encoding: { ...expected, tooltip },
            },
            {
                data,
                mark: { type: 'point', filled: false, size: 60, strokeWidth: 1.8, color: paint.ink },
                encoding: {
                    x: { ...camber, field: 'present_camber_deg' },
                    y: { ...caster, field: 'present_caster_deg' },
                },
            },
        ],
    };
}

const columns: Column<Setting>[] = [
    { title: 'target', value: (row) => row.target },
    { title: 'corner', value: (row) => row.corner },
    { title: 'camber', value: (row) => row.camber_deg, digits: 2 },
    { title: '95 % low', value: (row) => row.camber_low_deg, digits: 2 },
    { title: '95 % high', value: (row) => row.camber_high_deg, digits: 2 },
    { title: 'caster', value: (row) => row.caster_deg, digits: 2 },
    { title: '95 % low', value: (row) => row.caster_low_deg, digits: 2 },
    { title: '95 % high', value: (row) => row.caster_high_deg, digits: 2 },
    { title: 'in tolerance', value: (row) => probabilityCell(row.p_in_tolerance) },
];

/** Where one corner of a car stands and is expected to land, in the plane of camber and caster. */
export function landingPlot(rows: Rows, vehicle: string, corner: 'FL' | 'FR'): Chart {
    const settings = rows.settings.filter((row) => row.vehicle === vehicle && row.corner === corner);
    return {
        kind: 'chart',
        title: `${vehicle}, ${cornerName(corner)}`,
        alt: `Camber and caster of ${cornerName(corner)} of ${vehicle} as read and as expected at ${counted(targetsOf(settings).length, 'target')}, with the tolerances.`,
        spec: spec(settings[0]!),
        data: { settings },
        table: table(`Expected angles of ${vehicle}, ${cornerName(corner)}`, settings, columns),
    };
}
