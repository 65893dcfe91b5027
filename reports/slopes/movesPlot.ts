import { programName } from '../../src/errors/programName.js';
import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, fixed, whole } from '../../src/report/format.js';
import { type PanelKey, type Rows, type Slope, samePanel } from './rows.js';
import { angle, direction } from './words.js';

type Move = Rows['moves'][number];

const classes = ['full weight', 'down-weighted', 'beyond the picture'];

export const movesLegend: LegendEntry[] = [
    { mark: 'ring', paint: paint.first, label: 'move' },
    { mark: 'cross', paint: paint.second, label: 'down-weighted move' },
    { mark: 'triangle', paint: paint.second, label: 'beyond the picture, drawn on its edge' },
    { mark: 'line', paint: paint.ink, label: 'own slope' },
    { mark: 'band', paint: paint.first, label: '95 % interval of the own slope' },
    { mark: 'dashed', paint: paint.muted, label: 'shrunken slope' },
];

/** Grid whose line at zero stands out. */
const axis = {
    gridColor: { condition: { test: 'datum.value === 0', value: paint.muted }, value: paint.rule },
};

function spec(key: PanelKey, frame: Move): ChartSpec {
    const x = {
        type: 'quantitative' as const,
        title: `move ${direction[key.axis]}, mm`,
        axis,
        scale: { domain: [frame.frame_x_low_mm, frame.frame_x_high_mm], nice: false },
    };
    const y = {
        type: 'quantitative' as const,
        title: `change of ${angle[key.response]}, °`,
        axis,
        scale: { domain: [frame.frame_y_low_deg, frame.frame_y_high_deg], nice: false },
    };
    return {
        height: 230,
        params: [{ name: 'highlighted', value: '' }],
        layer: [
            {
                data: { name: 'lines' },
                mark: { type: 'area', clip: true, color: paint.first, opacity: 0.18 },
                encoding: {
                    x: { ...x, field: 'move_mm' },
                    y: { ...y, field: 'low_deg' },
                    y2: { field: 'high_deg' },
                },
            },
            {
                data: { name: 'lines' },
                mark: { type: 'line', clip: true, color: paint.muted, strokeWidth: 1.5, strokeDash: [4, 3] },
                encoding: { x: { ...x, field: 'move_mm' }, y: { ...y, field: 'shrunk_deg' } },
            },
            {
                data: { name: 'lines' },
                mark: { type: 'line', clip: true, color: paint.ink, strokeWidth: 1.5 },
                encoding: { x: { ...x, field: 'move_mm' }, y: { ...y, field: 'line_deg' } },
            },
            {
                data: { name: 'moves' },
                mark: { type: 'point', size: 30, strokeWidth: 1.6 },
                encoding: {
                    x: { ...x, field: 'shown_mm' },
                    y: { ...y, field: 'shown_deg' },
                    shape: {
                        field: 'drawn_as',
                        type: 'nominal',
                        legend: null,
                        scale: { domain: classes, range: ['circle', 'M-1,-1L1,1M-1,1L1,-1', 'triangle-up'] },
                    },
                    color: {
                        field: 'drawn_as',
                        type: 'nominal',
                        legend: null,
                        scale: { domain: classes, range: [paint.first, paint.second, paint.second] },
                    },
                    opacity: {
                        condition: {
                            test: "highlighted === '' || datum.vehicle === highlighted",
                            value: 1,
                        },
                        value: 0.15,
                    },
                    tooltip: [
                        { field: 'vehicle', title: 'car' },
                        { field: 'corner', title: 'corner' },
                        { field: 'visit', title: 'visit' },
                        { field: 'move_mm', title: 'move, mm', format: '.2f' },
                        { field: 'partial_deg', title: 'change, °', format: '.3f' },
                        { field: 'robust_weight', title: 'weight', format: '.2f' },
                        { field: 'drawn_as', title: 'drawn as' },
                    ],
                },
            },
        ],
    };
}

const columns: Column<Move>[] = [
    { title: 'car', value: (row) => row.vehicle },
    { title: 'corner', value: (row) => row.corner },
    { title: 'visit', value: (row) => row.visit },
    { title: 'from', value: (row) => row.from_phase },
    { title: 'to', value: (row) => row.to_phase },
    { title: 'move, mm', value: (row) => row.move_mm, digits: 2 },
    { title: 'change, °', value: (row) => row.partial_deg, digits: 3 },
    { title: 'weight', value: (row) => row.robust_weight, digits: 2 },
];

function alt(title: string, own: Slope, moves: readonly Move[]): string {
    const apart = moves.filter((row) => row.drawn_as !== 'full weight').length;
    const slope =
        own.estimate_deg_per_mm === null
            ? `No own slope: ${own.reason}.`
            : `The fitted line through the origin rises ${fixed(own.estimate_deg_per_mm, 3)} degrees per millimetre.`;
    return `${title}. Scatter of ${counted(moves.length, 'move')}. ${slope} ${apart} of the moves stand apart from it.`;
}

/** The moves of one chassis along one axis with the fitted line; null when it never moved that way. */
export function movesPlot(rows: Rows, own: Slope): Chart | null {
    const here = (row: PanelKey & { chassis: string }) => row.chassis === own.chassis && samePanel(own)(row);
    const moves = rows.moves.filter(here);
    const frame = moves[0];
    if (frame === undefined) return null;
    const drawn =
        frame.panel_move_count === moves.length
            ? ''
            : ` (${whole(moves.length)} of ${counted(frame.panel_move_count, 'move')} drawn)`;
    const title = `Change of ${angle[own.response]}, moving ${direction[own.axis]}`;
    return {
        kind: 'chart',
        title: `${title}${drawn}`,
        alt: alt(`${own.chassis}: ${title}`, own, moves),
        spec: spec(own, frame),
        data: { moves, lines: rows.lines.filter(here) },
        table: table(
            `${own.chassis}: ${title}, less the part of the other axis${drawn}${drawn === '' ? '' : `; ${programName()} export moves gives all`}`,
            moves,
            columns,
        ),
    };
}
