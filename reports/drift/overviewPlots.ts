import type { Block, Chart, ChartSpec, Column, Table } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { counted } from '../../src/report/format.js';
import { type Event, eventNames, type Rows } from './rows.js';
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
    { field: 'camber_change_deg', title: 'camber, °', format: '+.2f' },
    { field: 'caster_change_deg', title: 'caster, °', format: '+.2f' },
];

/** Expects `events` in the order of the rows. */
function whenSpec(events: readonly Event[]): ChartSpec {
    const rows = [...new Set(events.map((row) => row.side))];
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
                        axis: {
                            grid: false,
                            minExtent: 96,
                            maxExtent: 96,
                            labelLimit: 92,
                            // Of a long name the side must stay.
                            labelExpr: 'truncate(slice(datum.value, 0, -2), 13) + slice(datum.value, -2)',
                        },
                    },
                    ...verdictEncoding,
                    opacity,
                    tooltip,
                },
            },
        ],
    };
}

/** Numbers of the sessions of the car in which a corner was judged so. */
function sessionsText(events: readonly Event[], verdict: Event['verdict']): string {
    const numbers = events.filter((row) => row.verdict === verdict).map((row) => row.session_number);
    return numbers.length === 0 ? '–' : numbers.join(', ');
}

/** What the overview shows, one row per car and side. */
function whenTable(events: readonly Event[]): Table {
    const rows = [...new Set(events.map((row) => row.side))].map((side) =>
        events.filter((row) => row.side === side),
    );
    const judged = (verdict: Event['verdict']): Column<Event[]> => ({
        title: eventNames[verdict],
        value: (row) => sessionsText(row, verdict),
    });
    return table('Sessions of the car, in order, after which a corner did not hold for certain', rows, [
        { title: 'car', value: (row) => row[0]!.vehicle },
        { title: 'corner', value: (row) => row[0]!.corner },
        { title: 'sessions', value: (row) => row.length },
        judged('plate_moved'),
        judged('bent'),
        judged('other'),
        judged('unclear'),
    ]);
}

/** Who moved and when: at most 24 cars. */
export function overviewPlots({ events, cars }: Rows): Block[] {
    const drawn = events
        .filter((row) => row.vehicle_rank <= drawnCount)
        .sort(
            (a, b) =>
                a.vehicle_rank - b.vehicle_rank ||
                a.corner.localeCompare(b.corner) ||
                a.session_number - b.session_number,
        );
    const moved = drawn.filter((row) => row.verdict !== 'held').length;
    const cut: Block[] =
        cars.length > drawnCount
            ? [
                  {
                      kind: 'paragraph',
                      text: `The pictures show the ${drawnCount} of ${counted(cars.length, 'car')} with most that moved; the table has all of them.`,
                  },
              ]
            : [];
    const when: Chart = {
        kind: 'chart',
        title: 'Who moved, and when (L left, R right)',
        alt: `One row per car and side, one mark per session: ${moved} of ${counted(drawn.length, 'corner session')} did not hold for certain.`,
        spec: whenSpec(drawn),
        data: { events: drawn },
        table: whenTable(drawn),
    };
    return [...cut, when];
}
