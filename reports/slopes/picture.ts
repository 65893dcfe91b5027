import type { Chart, ChartSpec, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, fixed } from '../../src/report/format.js';
import { chassisOf, panels, type Rows, samePanel } from './rows.js';

type Interval = Rows['forest'][number];

/** Chassis in the picture. */
const drawnCount = 10;

const kinds = ['own', 'shrunken'];

function spec(rows: readonly Interval[]): ChartSpec {
    const { frame_low_deg_per_mm: low, frame_high_deg_per_mm: high } = rows[0]!;
    const chassis = rows.map((row) => row.chassis);
    const x = {
        type: 'quantitative' as const,
        title: '° of camber per mm outboard, 95 % interval',
        scale: { domain: [low, high], nice: false },
        axis: { tickCount: 4 },
    };
    const y = {
        field: 'chassis',
        type: 'nominal' as const,
        title: null,
        sort: chassis,
        scale: { domain: chassis },
        axis: null,
    };
    const color = {
        field: 'kind',
        type: 'nominal' as const,
        legend: null,
        scale: { domain: kinds, range: [paint.first, paint.second] },
    };
    const tooltip = [
        { field: 'chassis' },
        { field: 'kind', title: 'slope' },
        { field: 'slope_deg_per_mm', title: '° per mm', format: '.4f' },
        { field: 'low_deg_per_mm', title: '95 % low', format: '.4f' },
        { field: 'high_deg_per_mm', title: '95 % high', format: '.4f' },
        { field: 'move_count', title: 'moves' },
        { field: 'vehicle_count', title: 'cars' },
    ];
    const text = (
        words: string,
        align: 'left' | 'right',
        look: { color: string; fontWeight?: 'bold' },
    ): ChartSpec['layer'][number] => ({
        data: { name: 'forest' },
        transform: [{ calculate: words, as: 'line' }],
        mark: { type: 'text', align, dy: -11, fontSize: 12, ...look },
        encoding: { x: { ...x, datum: align === 'left' ? low : high }, y, text: { field: 'line' } },
    });
    const head = (field: 'beyond_low' | 'beyond_high', angle: number): ChartSpec['layer'][number] => ({
        data: { name: 'forest' },
        mark: { type: 'point', shape: 'triangle-up', size: 50, angle, filled: true, yOffset: 8 },
        encoding: { x: { ...x, field }, y, color },
    });
    return {
        height: 40 + 38 * chassis.length,
        layer: [
            {
                data: { name: 'forest' },
                mark: { type: 'rect', clip: true, color: paint.third, opacity: 0.14 },
                encoding: {
                    x: { ...x, field: 'prior_low_deg_per_mm', aggregate: 'min' },
                    x2: { field: 'prior_high_deg_per_mm', aggregate: 'min' },
                },
            },
            {
                data: { name: 'forest' },
                mark: { type: 'rule', strokeWidth: 2.5, yOffset: 8 },
                encoding: { y, color, x: { ...x, field: 'low_shown' }, x2: { field: 'high_shown' }, tooltip },
            },
            {
                data: { name: 'forest' },
                mark: { type: 'point', filled: true, opacity: 1, size: 70, yOffset: 8 },
                encoding: {
                    y,
                    color,
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
            text('truncate(datum.chassis, 14)', 'left', { color: paint.ink, fontWeight: 'bold' }),
            text(
                `(datum.kind === 'own' ? '' : 'geometry: ') + datum.words + ', ' + datum.move_count + (datum.move_count === 1 ? ' move' : ' moves')`,
                'right',
                { color: paint.muted },
            ),
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

/** The slope that counts of each chassis, camber per millimetre outboard: its own, the shrunken one where it has none. */
function intervals({ forest }: Rows): Interval[] {
    const here = forest.filter(samePanel(panels[0]!));
    const of = (chassis: string, kind: string) =>
        here.find(
            (row) =>
                row.chassis === chassis &&
                row.kind === kind &&
                row.slope_deg_per_mm !== null &&
                row.low_deg_per_mm !== null,
        );
    return chassisOf(here).flatMap((chassis) => of(chassis, 'own') ?? of(chassis, 'shrunken') ?? []);
}

/** What a millimetre outboard is worth on each chassis, beside what geometry alone expects. */
export function picture(rows: Rows): Chart[] {
    const all = intervals(rows);
    const drawn = all.slice(0, drawnCount);
    if (drawn.length === 0) return [];
    const prior = drawn[0]!;
    const left =
        all.length > drawn.length
            ? ` The ${drawnCount} of ${counted(all.length, 'chassis', 'chassis')} with most moves.`
            : '';
    const borrowed = drawn.some(({ kind }) => kind !== 'own') ? ' Diamond: no own slope yet.' : '';
    return [
        {
            kind: 'chart',
            title: `Camber by one millimetre outboard.${borrowed} Shaded: what geometry alone expects, ${fixed(prior.prior_low_deg_per_mm, 2)} to ${fixed(prior.prior_high_deg_per_mm, 2)}.${left}`,
            alt: `Camber per millimetre outboard with 95 % intervals: ${drawn
                .map((row) => `${row.chassis} ${fixed(row.slope_deg_per_mm, 3)}`)
                .join(', ')} degrees.`,
            spec: spec(drawn),
            data: { forest: drawn },
            table: table('Camber per millimetre outboard, the slope that counts', drawn, columns),
        },
    ];
}
