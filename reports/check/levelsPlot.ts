import type { Chart, ChartSpec, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { nameAxis } from '../../src/report/chart/nameAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import type { Rows } from './rows.js';

type Level = Rows['levels'][number];

function spec(rows: readonly Level[]): ChartSpec {
    const data = { name: 'levels' };
    const labels = rows.map((row) => row.label);
    const edge = Math.max(2, ...rows.map((row) => Math.abs(row.shown))) + 0.4;
    const x = {
        type: 'quantitative' as const,
        title: 'off the other visits, in limits (95 %)',
        scale: { domain: [-edge, edge], nice: false },
        axis: {
            values: [-6, -4, -2, -1, 0, 1, 2, 4, 6],
            labelExpr:
                "abs(datum.value) === 6 ? (datum.value < 0 ? '≤ −6' : '≥ 6') : replace(datum.label, '-', '−')",
        },
    };
    const y = {
        field: 'label',
        type: 'nominal' as const,
        title: null,
        sort: labels,
        scale: { domain: labels },
        axis: nameAxis(150),
    };
    const tooltip = [
        { field: 'label', title: 'row' },
        { field: 'visit' },
        { field: 'angle' },
        { field: 'read_deg', title: 'read, °', format: '.2f' },
        { field: 'expected_deg', title: 'expected, °', format: '.2f' },
        { field: 'limit_deg', title: 'limit, ±°', format: '.2f' },
        { field: 'visit_count', title: 'other visits' },
    ];
    const limit = (datum: number): ChartSpec['layer'][number] => ({
        data,
        mark: { type: 'rule', color: paint.second, strokeDash: [5, 4], strokeWidth: 1.5 },
        encoding: { x: { ...x, datum } },
    });
    // Beside zero, away from the mark: there they meet neither a limit nor the edge.
    const words = (left: boolean): ChartSpec['layer'][number] => ({
        data,
        transform: [{ filter: left ? 'datum.shown < 0' : 'datum.shown >= 0' }],
        mark: {
            type: 'text',
            align: left ? 'left' : 'right',
            dx: left ? 8 : -8,
            fontSize: 11,
            color: paint.ink,
        },
        encoding: { x: { ...x, datum: 0 }, y, text: { field: 'told' } },
    });
    return {
        height: Math.max(120, 44 + 24 * rows.length),
        layer: [
            limit(-1),
            limit(1),
            {
                data,
                mark: { type: 'rule', color: paint.first, strokeWidth: 2.5 },
                encoding: { y, x: { ...x, field: 'from_zero' }, x2: { field: 'shown' }, tooltip },
            },
            {
                data,
                mark: { type: 'point', filled: true, opacity: 1, size: 70, color: paint.first },
                encoding: { y, x: { ...x, field: 'shown' }, tooltip },
            },
            words(true),
            words(false),
        ],
    };
}

const columns: Column<Level>[] = [
    { title: 'car', value: (row) => row.vehicle },
    { title: 'corner', value: (row) => row.corner },
    { title: 'visit', value: (row) => row.visit },
    { title: 'angle', value: (row) => row.angle },
    { title: 'read, °', value: (row) => row.read_deg, digits: 2 },
    { title: 'expected, °', value: (row) => row.expected_deg, digits: 2 },
    { title: 'off, °', value: (row) => row.off_deg, digits: 2 },
    { title: 'limit, ±°', value: (row) => row.limit_deg, digits: 2 },
    { title: 'other visits', value: (row) => row.visit_count },
];

/** What the rows behind findings read against what their corners read in other visits. */
export function levelsPlot(rows: Rows): Chart {
    return {
        kind: 'chart',
        title: 'Rows that a finding names: how far they read from what the other visits of their corner expect, at equal bearing place',
        alt: `The angle furthest off what is expected in ${rows.levels.length} visits that a finding names, in limits of 95 %.`,
        spec: spec(rows.levels),
        data: { levels: rows.levels },
        table: table('Suspect rows against what was expected', rows.levels, columns),
    };
}
