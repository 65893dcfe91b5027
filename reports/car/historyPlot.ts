import type { Chart, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { markOf, type Rows, type State } from './rows.js';

const columns = (rows: Rows): Column<State>[] => [
    { title: 'day', value: (row) => row.day },
    { title: 'visit', value: (row) => row.visit },
    { title: 'phase', value: (row) => row.phase },
    { title: 'corner', value: (row) => row.corner },
    { title: 'mark', value: (row) => markOf(rows, row) },
    { title: 'camber, °', value: (row) => row.camber_deg, digits: 2 },
    { title: 'caster, °', value: (row) => row.caster_deg, digits: 2 },
    { title: 'toe, °', value: (row) => row.toe_deg, digits: 2 },
];

const sides = ['FL', 'FR'];

/** Camber of both fronts by day as read; null where it was never read. */
export function historyPlot(rows: Rows, vehicle: string): Chart | null {
    const read = rows.history.filter(
        (row) => row.vehicle === vehicle && row.camber_deg !== null && row.day !== null,
    );
    if (read.length === 0) return null;
    const x = {
        field: 'day',
        type: 'temporal' as const,
        title: null,
        scale: { type: 'utc' as const },
        axis: { format: '%b %y', grid: false, tickCount: 3, labelAngle: 0, labelFlush: true, labelBound: 2 },
    };
    const y = {
        field: 'camber_deg',
        type: 'quantitative' as const,
        title: 'camber, °',
        scale: { zero: false },
        // A single value has no step of its ticks that tells how many decimals to write.
        axis: { format: '.2f' },
    };
    const color = {
        field: 'corner',
        type: 'nominal' as const,
        legend: null,
        scale: { domain: sides, range: [paint.first, paint.second] },
    };
    return {
        kind: 'chart',
        title: 'Camber as read; triangles point to their side, filled: as it was left',
        alt: `${vehicle}: camber of both fronts over ${counted(read.length, 'state')}, by day.`,
        spec: {
            height: 200,
            layer: [
                {
                    data: { name: 'history' },
                    mark: { type: 'line', strokeWidth: 1 },
                    encoding: { x, y, color, order: { field: 'age', sort: 'descending' } },
                },
                {
                    data: { name: 'history' },
                    mark: { type: 'point', size: 40, strokeWidth: 1.4 },
                    encoding: {
                        x,
                        y,
                        stroke: color,
                        fill: {
                            condition: [
                                { test: "datum.is_set && datum.corner === 'FL'", value: paint.first },
                                { test: 'datum.is_set', value: paint.second },
                            ],
                            value: 'var(--paper)',
                        },
                        shape: {
                            field: 'corner',
                            type: 'nominal',
                            legend: null,
                            scale: { domain: sides, range: ['triangle-left', 'triangle-right'] },
                        },
                        tooltip: [
                            { field: 'day' },
                            { field: 'visit' },
                            { field: 'phase' },
                            { field: 'corner' },
                            { field: 'target' },
                            { field: 'mark_1', title: 'mark' },
                            { field: 'camber_deg', title: 'camber, °', format: '.2f' },
                            { field: 'caster_deg', title: 'caster, °', format: '.2f' },
                            { field: 'toe_deg', title: 'toe, °', format: '.2f' },
                        ],
                    },
                },
            ],
        },
        data: { history: read },
        table: table(
            `${vehicle}: states of both fronts, the newest first, 20 at most`,
            [...read].sort((a, b) => a.age - b.age || a.corner.localeCompare(b.corner)).slice(0, 20),
            columns(rows),
        ),
    };
}
