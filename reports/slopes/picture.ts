import type { Chart, ChartSpec } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, fixed } from '../../src/report/format.js';
import {
    columns,
    data,
    type Interval,
    kindColor,
    kindShape,
    priorBand,
    slopeAxis,
    tooltip,
} from './forestParts.js';
import { chassisOf, panels, type Rows, samePanel } from './rows.js';

/** Chassis in the picture. */
export const pictureCount = 10;

function spec(rows: readonly Interval[]): ChartSpec {
    const { frame_low_deg_per_mm: low, frame_high_deg_per_mm: high } = rows[0]!;
    const chassis = rows.map((row) => row.chassis);
    const x = slopeAxis(rows, '° of camber per mm outboard, 95 % interval');
    const y = {
        field: 'chassis',
        type: 'nominal' as const,
        title: null,
        sort: chassis,
        scale: { domain: chassis },
        axis: null,
    };
    const text = (
        words: string,
        align: 'left' | 'right',
        look: { color: string; fontWeight?: 'bold' },
    ): ChartSpec['layer'][number] => ({
        data,
        transform: [{ calculate: words, as: 'line' }],
        mark: { type: 'text', align, dy: -11, fontSize: 12, ...look },
        encoding: { x: { ...x, datum: align === 'left' ? low : high }, y, text: { field: 'line' } },
    });
    const head = (field: 'beyond_low' | 'beyond_high', angle: number): ChartSpec['layer'][number] => ({
        data,
        mark: { type: 'point', shape: 'triangle-up', size: 50, angle, filled: true, yOffset: 8 },
        encoding: { x: { ...x, field }, y, color: kindColor },
    });
    return {
        height: 40 + 38 * chassis.length,
        layer: [
            priorBand(x, 0.14),
            {
                data,
                mark: { type: 'rule', strokeWidth: 2.5, yOffset: 8 },
                encoding: {
                    y,
                    color: kindColor,
                    x: { ...x, field: 'low_shown' },
                    x2: { field: 'high_shown' },
                    tooltip,
                },
            },
            {
                data,
                mark: { type: 'point', filled: true, opacity: 1, size: 70, yOffset: 8 },
                encoding: {
                    y,
                    color: kindColor,
                    x: { ...x, field: 'slope_shown' },
                    shape: kindShape,
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
    const drawn = all.slice(0, pictureCount);
    if (drawn.length === 0) return [];
    const prior = drawn[0]!;
    const left =
        all.length > drawn.length
            ? ` The ${pictureCount} of ${counted(all.length, 'chassis', 'chassis')} with most moves.`
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
