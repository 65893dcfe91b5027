import type { Chart, ChartSpec, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import type { Rows } from './rows.js';

type Level = Rows['levels'][number];

function spec(rows: readonly Level[]): ChartSpec {
    const data = { name: 'levels' };
    const labels = rows.map((row) => row.label);
    const edge = Math.max(2, ...rows.map((row) => Math.abs(row.shown))) + 0.4;
    const x = {
        type: 'quantitative' as const,
        title: 'off what is expected, in limits of 95 %',
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
        axis: null,
    };
    const tooltip = [
        { field: 'label', title: 'row' },
        { field: 'visit' },
        { field: 'angle' },
        { field: 'read_deg', title: 'read, °', format: '.2f' },
        { field: 'expected_deg', title: 'expected, °', format: '.2f' },
        { field: 'expected_of', title: 'by' },
        { field: 'limit_deg', title: 'limit, ±°', format: '.2f' },
    ];
    // Words stand above the marks and the limits, so that these meet neither at any width.
    const words = (
        field: 'label' | 'told',
        align: 'left' | 'right',
        look: { color: string; fontWeight?: 'bold' },
    ): ChartSpec['layer'][number] => ({
        data,
        mark: { type: 'text', align, dy: -8, fontSize: 12, limit: 230, ...look },
        encoding: { x: { ...x, datum: align === 'left' ? -edge : edge }, y, text: { field } },
    });
    const limit = (datum: number): ChartSpec['layer'][number] => ({
        data,
        mark: {
            type: 'tick',
            orient: 'vertical',
            size: 16,
            thickness: 2,
            yOffset: 8,
            opacity: 1,
            color: paint.second,
        },
        encoding: { x: { ...x, datum }, y },
    });
    return {
        height: 44 + 34 * rows.length,
        layer: [
            limit(-1),
            limit(1),
            {
                data,
                mark: { type: 'rule', color: paint.first, strokeWidth: 2.5, yOffset: 8 },
                encoding: { y, x: { ...x, field: 'from_zero' }, x2: { field: 'shown' }, tooltip },
            },
            {
                data,
                mark: { type: 'point', filled: true, opacity: 1, size: 70, color: paint.first, yOffset: 8 },
                encoding: { y, x: { ...x, field: 'shown' }, tooltip },
            },
            words('label', 'left', { color: paint.ink, fontWeight: 'bold' }),
            words('told', 'right', { color: paint.muted }),
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
    { title: 'expected of', value: (row) => row.expected_of },
    { title: 'off, °', value: (row) => row.off_deg, digits: 2 },
    { title: 'limit, ±°', value: (row) => row.limit_deg, digits: 2 },
];

/** What the rows behind findings read against what their corners read in other visits. */
export function levelsPlot(rows: Rows): Chart {
    return {
        kind: 'chart',
        title: 'Rows that a finding names: how far they read from what is expected of them, by the other visits of the corner where nothing else is known; orange: the limits',
        alt: `How far ${rows.levels.length} rows that a finding names read from what is expected, in limits of 95 %: ${rows.levels.map((row) => `${row.label} ${row.told}`).join(', ')}.`,
        spec: spec(rows.levels),
        data: { levels: rows.levels },
        table: table('Suspect rows against what was expected', rows.levels, columns),
    };
}
