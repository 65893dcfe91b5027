import { programName } from '../../src/errors/programName.js';
import type { Chart, ChartSpec, Column, Table } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, fixed } from '../../src/report/format.js';
import type { Rows, Track } from './rows.js';
import { verdictEncoding } from './verdictMarks.js';

const sideName = { FL: 'left', FR: 'right' } as const;
const angleName = { camber_deg: 'Camber', caster_deg: 'Caster' } as const;

const x = {
    field: 'place',
    type: 'quantitative' as const,
    title: 'readings in time order',
    axis: { grid: false, tickMinStep: 1 },
};
const tooltip = [
    { field: 'day', title: 'day' },
    { field: 'visit', title: 'visit' },
    { field: 'phase', title: 'phase' },
    { field: 'read_deg', title: 'as read, °', format: '+.2f' },
    { field: 'level_deg', title: 'setting-corrected', format: '+.2f' },
    { field: 'offset_out_mm', title: 'set outboard, mm', format: '+.1f' },
    { field: 'offset_aft_mm', title: 'set rearward, mm', format: '+.1f' },
    { field: 'verdict' },
    { field: 'signal', title: 'out of limits' },
];
/** Where the plate was set. */
const settings: ChartSpec['layer'][number] = {
    data: { name: 'tracks' },
    transform: [{ filter: 'datum.is_set' }],
    mark: { type: 'rule', color: paint.rule, strokeWidth: 1.5 },
    encoding: { x },
};

function levelSpec(): ChartSpec {
    const y = { type: 'quantitative' as const, title: '° at offset 0', scale: { zero: false } };
    const limit = (field: 'low_deg' | 'high_deg'): ChartSpec['layer'][number] => ({
        data: { name: 'tracks' },
        mark: { type: 'line', color: paint.muted, strokeWidth: 1, strokeDash: [4, 3] },
        encoding: { x, y: { ...y, field } },
    });
    return {
        height: 190,
        layer: [
            settings,
            {
                data: { name: 'tracks' },
                mark: { type: 'area', interpolate: 'step', color: paint.first, opacity: 0.14 },
                encoding: { x, y: { ...y, field: 'ewma_low_deg' }, y2: { field: 'ewma_high_deg' } },
            },
            {
                data: { name: 'tracks' },
                mark: { type: 'line', color: paint.muted, strokeWidth: 1 },
                encoding: { x, y: { ...y, field: 'centre_deg' } },
            },
            limit('low_deg'),
            limit('high_deg'),
            {
                data: { name: 'tracks' },
                mark: { type: 'line', color: paint.first, strokeWidth: 1.4 },
                encoding: { x, y: { ...y, field: 'ewma_deg' } },
            },
            {
                data: { name: 'tracks' },
                // Only what follows a session has a verdict.
                transform: [
                    { calculate: "datum.drawn_as === 'reading' ? null : datum.drawn_as", as: 'verdict' },
                ],
                mark: { type: 'point', strokeWidth: 1.5 },
                encoding: {
                    x,
                    y: { ...y, field: 'level_deg' },
                    ...verdictEncoding,
                    tooltip,
                },
            },
        ],
    };
}

const columns: Column<Track>[] = [
    { title: 'day', value: (row) => row.day },
    { title: 'visit', value: (row) => row.visit },
    { title: 'phase', value: (row) => row.phase },
    { title: 'as read', value: (row) => row.read_deg, digits: 2 },
    { title: 'corrected', value: (row) => row.level_deg, digits: 2 },
    { title: 'EWMA', value: (row) => row.ewma_deg, digits: 2 },
    { title: 'out of limits', value: (row) => row.signal },
];

/** Rows of a table under a chart. */
const listedCount = 20;

/** The last of `rows`, which are in time order. */
function newestTable(caption: string, rows: readonly Track[], columns: readonly Column<Track>[]): Table {
    const shown = rows.slice(-listedCount);
    const cut =
        rows.length > shown.length
            ? `. The newest ${listedCount} of ${rows.length}; ${programName()} export setting_tracks gives all, of cars with three sessions or more`
            : '';
    return table(`${caption}${cut}`, shown, columns);
}

/** Setting-corrected camber or caster of one front over time with its limits; null without points. */
export function trackPlot(
    { tracks }: Rows,
    vehicle: string,
    corner: 'FL' | 'FR',
    response: 'camber_deg' | 'caster_deg',
): Chart | null {
    const here = tracks.filter(
        (row) => row.vehicle === vehicle && row.corner === corner && row.response === response,
    );
    if (here.length === 0) return null;
    const title = `${angleName[response]}, ${sideName[corner]}`;
    const out = here.filter((row) => row.signal !== null).length;
    return {
        kind: 'chart',
        title,
        alt: `${vehicle}: setting-corrected ${title.toLowerCase()} over ${counted(here.length, 'reading')}; ${out} out of limits.`,
        spec: levelSpec(),
        data: { tracks: here },
        table: newestTable(
            `${vehicle}: ${title.toLowerCase()}, °; limits of a reading ${fixed(here[0]!.low_deg, 2)} to ${fixed(here[0]!.high_deg, 2)}`,
            here,
            columns,
        ),
    };
}

const toeColumns: Column<Track>[] = [
    ...columns.slice(0, 3),
    { title: 'corner', value: (row) => row.corner },
    { title: 'toe, °', value: (row) => row.toe_deg, digits: 2 },
];

/** Toe of both fronts as read, without readings between moving a plate and setting toe; null where it was never read. */
export function toePlot({ tracks }: Rows, vehicle: string): Chart | null {
    const here = tracks.filter(
        (row) =>
            row.vehicle === vehicle &&
            row.response === 'camber_deg' &&
            row.phase !== 'moved' &&
            row.toe_deg !== null,
    );
    if (here.length === 0) return null;
    const color = {
        field: 'corner',
        type: 'nominal' as const,
        legend: null,
        scale: { domain: ['FL', 'FR'], range: [paint.first, paint.second] },
    };
    const y = { field: 'toe_deg', type: 'quantitative' as const, title: '° per wheel, toe-in +' };
    return {
        kind: 'chart',
        title: 'Toe, both sides',
        alt: `${vehicle}: toe per wheel as read over ${counted(here.length, 'reading')} of both fronts.`,
        spec: {
            height: 190,
            layer: [
                settings,
                {
                    data: { name: 'tracks' },
                    mark: { type: 'line', strokeWidth: 1 },
                    encoding: { x, y, color },
                },
                {
                    data: { name: 'tracks' },
                    mark: { type: 'point', size: 26, filled: true },
                    encoding: {
                        x,
                        y,
                        color,
                        shape: {
                            field: 'corner',
                            type: 'nominal',
                            legend: null,
                            scale: { domain: ['FL', 'FR'], range: ['triangle-left', 'triangle-right'] },
                        },
                        tooltip: [
                            { field: 'day', title: 'day' },
                            { field: 'visit', title: 'visit' },
                            { field: 'phase', title: 'phase' },
                            { field: 'corner', title: 'corner' },
                            { field: 'toe_deg', title: 'toe, °', format: '+.2f' },
                        ],
                    },
                },
            ],
        },
        data: { tracks: here },
        table: newestTable(`${vehicle}: toe per wheel`, here, toeColumns),
    };
}
