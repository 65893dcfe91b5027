import type { Chart, ChartSpec, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { type Event, type Rows, vehiclesOf } from './rows.js';
import { verdictEncoding } from './verdictMarks.js';

/** Cars with rows of their own in the overview. */
const drawnCount = 24;

const opacity = {
    condition: { test: "highlighted === '' || datum.vehicle === highlighted", value: 1 },
    value: 0.15,
};
const params = [{ name: 'highlighted', value: '' }];
const tooltip = [
    { field: 'vehicle', title: 'car' },
    { field: 'corner', title: 'corner' },
    { field: 'visit', title: 'visit' },
    { field: 'drawn_as', title: 'verdict' },
    { field: 'p_moved', title: 'something moved, p', format: '.2f' },
    { field: 'camber_change_deg', title: 'camber, deg', format: '+.2f' },
    { field: 'caster_change_deg', title: 'caster, deg', format: '+.2f' },
];

function sides(events: readonly Event[]): string[] {
    const order = vehiclesOf(events);
    return [...new Set(events.map((row) => row.side))].sort(
        (a, b) =>
            order.findIndex((vehicle) => a.startsWith(`${vehicle} `)) -
                order.findIndex((vehicle) => b.startsWith(`${vehicle} `)) || a.localeCompare(b),
    );
}

function whenSpec(events: readonly Event[]): ChartSpec {
    const rows = sides(events);
    return {
        height: 40 + 17 * rows.length,
        params,
        layer: [
            {
                data: { name: 'events' },
                mark: { type: 'point', strokeWidth: 1.5 },
                encoding: {
                    x: {
                        field: 'session_number',
                        type: 'quantitative',
                        title: 'sessions of the car, in order',
                        axis: { tickMinStep: 1 },
                    },
                    y: {
                        field: 'side',
                        type: 'nominal',
                        title: null,
                        sort: rows,
                        scale: { domain: rows },
                        axis: { grid: false, minExtent: 84, maxExtent: 84, labelLimit: 80 },
                    },
                    ...verdictEncoding,
                    opacity,
                    tooltip,
                },
            },
        ],
    };
}

function farSpec(events: readonly Event[]): ChartSpec {
    const cars = vehiclesOf(events);
    const y = {
        field: 'vehicle',
        type: 'nominal' as const,
        title: null,
        sort: cars,
        scale: { domain: cars },
        axis: { grid: false, minExtent: 84, maxExtent: 84, labelLimit: 80 },
    };
    const yOffset = {
        field: 'corner',
        type: 'nominal' as const,
        scale: { domain: ['FL', 'FR'], paddingOuter: 0.5 },
    };
    const color = {
        field: 'corner',
        type: 'nominal' as const,
        legend: null,
        scale: { domain: ['FL', 'FR'], range: [paint.first, paint.second] },
    };
    const x = {
        type: 'quantitative' as const,
        title: 'inboard – slip, mm – outboard',
        axis: {
            gridColor: { condition: { test: 'datum.value === 0', value: paint.muted }, value: paint.rule },
        },
    };
    const shared = { y, yOffset, color, opacity };
    return {
        height: 40 + 30 * cars.length,
        params,
        layer: [
            {
                data: { name: 'events' },
                mark: { type: 'rule', strokeWidth: 1.2 },
                encoding: {
                    ...shared,
                    x: { ...x, field: 'slip_out_low_mm' },
                    x2: { field: 'slip_out_high_mm' },
                },
            },
            {
                data: { name: 'events' },
                mark: { type: 'point', filled: true, size: 40 },
                encoding: {
                    ...shared,
                    x: { ...x, field: 'slip_out_mm' },
                    shape: {
                        field: 'corner',
                        type: 'nominal',
                        legend: null,
                        scale: { domain: ['FL', 'FR'], range: ['circle', 'diamond'] },
                    },
                    tooltip: [
                        ...tooltip.slice(0, 3),
                        { field: 'slip_out_mm', title: 'outboard, mm', format: '+.1f' },
                        { field: 'slip_aft_mm', title: 'rearward, mm', format: '+.1f' },
                        { field: 'p_plate_moved', title: 'plate moved, p', format: '.2f' },
                    ],
                },
            },
        ],
    };
}

const columns: Column<Event>[] = [
    { title: 'car', value: (row) => row.vehicle },
    { title: 'corner', value: (row) => row.corner },
    { title: 'visit', value: (row) => row.visit },
    { title: 'camber, deg', value: (row) => row.camber_change_deg, digits: 2 },
    { title: 'caster, deg', value: (row) => row.caster_change_deg, digits: 2 },
    { title: 'toe, deg', value: (row) => row.toe_change_deg, digits: 2 },
    { title: 'SAI, deg', value: (row) => row.sai_change_deg, digits: 2 },
    { title: 'P held', value: (row) => row.p_held, digits: 2 },
    { title: 'verdict', value: (row) => row.drawn_as },
];
const slipColumns: Column<Event>[] = [
    ...columns.slice(0, 3),
    { title: 'outboard, mm', value: (row) => row.slip_out_mm, digits: 1 },
    { title: 'std error', value: (row) => row.slip_out_std_error_mm, digits: 1 },
    { title: 'rearward, mm', value: (row) => row.slip_aft_mm, digits: 1 },
    { title: 'std error', value: (row) => row.slip_aft_std_error_mm, digits: 1 },
    { title: 'P moved', value: (row) => row.p_plate_moved, digits: 2 },
];

/** Who moved and when, and the slips by size: at most 24 cars. */
export function overviewPlots({ events }: Rows): Chart[] {
    const drawn = events.filter((row) => row.vehicle_rank <= drawnCount);
    const slips = drawn.filter((row) => row.verdict === 'plate_moved' && row.slip_out_mm !== null);
    const moved = drawn.filter((row) => row.verdict !== 'held').length;
    const when: Chart = {
        kind: 'chart',
        title: 'Who moved, and when',
        alt: `One row per car and side, one mark per session: ${moved} of ${counted(drawn.length, 'corner session')} did not hold for certain.`,
        spec: whenSpec(drawn),
        data: { events: drawn },
        table: table(
            'Corners that did not hold for certain',
            drawn.filter((row) => row.verdict !== 'held'),
            columns,
        ),
    };
    if (slips.length === 0) return [when];
    const far: Chart = {
        kind: 'chart',
        title: 'Which way, and how far',
        alt: `Slips of ${counted(slips.length, 'corner session')} with 95 % intervals, per car and side, in millimetres outboard.`,
        spec: farSpec(slips),
        data: { events: slips },
        table: table('Slips', slips, slipColumns),
    };
    return [when, far];
}
