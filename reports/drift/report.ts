import type { Block, LegendEntry, Section, Table } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { defineReport } from '../../src/report/defineReport.js';
import { driftWords, readingThatWouldTell } from '../../src/units/driftWords.js';
import { findings } from './findings.js';
import { method } from './method.js';
import { overviewPlots } from './overviewPlots.js';
import { planePlot } from './planePlot.js';
import { contrastsTable, ratesPlots } from './ratesPlot.js';
import { type Event, eventNames, type Rows, schemas, vehiclesOf } from './rows.js';
import { toePlot, trackPlot } from './trackPlot.js';
import { verdictLegend } from './verdictMarks.js';

const sideName = { FL: 'left', FR: 'right' } as const;
/** Cars with pictures of their own. */
const drawnCount = 12;

const sideLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'left' },
    { mark: 'diamond', paint: paint.second, label: 'right' },
];
const trackLegend: LegendEntry[] = [
    ...verdictLegend,
    { mark: 'dashed', paint: paint.muted, label: 'limits of a reading, or the way the plate slides' },
    { mark: 'band', paint: paint.first, label: 'limits of the moving average' },
    { mark: 'line', paint: paint.rule, label: 'plate set' },
];

/** Text that stays on one line. */
const together = (text: string) => text.replaceAll('-', '\u2011').replaceAll(' ', '\u00a0');

function whatCell(row: Event): string {
    const reading = readingThatWouldTell(row, row);
    return reading === null ? driftWords(row) : `${driftWords(row)}. Read ${reading}`;
}

function eventsTable(events: readonly Event[]): Table {
    return table(
        'Corners that did not hold for certain, newest first',
        events.filter((row) => row.verdict !== 'held'),
        [
            { title: 'day', value: (row) => together(row.day ?? '') },
            { title: 'car', value: (row) => together(row.vehicle) },
            { title: 'side', value: (row) => sideName[row.corner] },
            { title: 'session', value: (row) => row.session ?? row.visit },
            { title: 'verdict', value: (row) => together(eventNames[row.verdict]) },
            {
                title: 'p',
                value: (row) => (row.verdict === 'unclear' || row.p_wrong === null ? null : 1 - row.p_wrong),
                digits: 2,
            },
            { title: 'what', value: whatCell },
            { title: 'camber', value: (row) => row.camber_change_deg, digits: 2 },
            { title: 'caster', value: (row) => row.caster_change_deg, digits: 2 },
            { title: 'toe', value: (row) => row.toe_change_deg, digits: 2 },
            { title: 'SAI', value: (row) => row.sai_change_deg, digits: 2 },
        ],
        (row) => ({ vehicle: [row.vehicle], event: [eventNames[row.verdict]] }),
    );
}

function carGroup(rows: Rows, vehicle: string): Block {
    const events = rows.events.filter((row) => row.vehicle === vehicle);
    const blocks = [
        trackPlot(rows, vehicle, 'FL', 'camber_deg'),
        trackPlot(rows, vehicle, 'FR', 'camber_deg'),
        toePlot(rows, vehicle),
        trackPlot(rows, vehicle, 'FL', 'caster_deg'),
        trackPlot(rows, vehicle, 'FR', 'caster_deg'),
        planePlot(rows, vehicle, 'FL'),
        planePlot(rows, vehicle, 'FR'),
    ].filter((block) => block !== null);
    return {
        kind: 'group',
        title: vehicle,
        blocks,
        keys: { vehicle: [vehicle], event: [...new Set(events.map((row) => eventNames[row.verdict]))] },
    };
}

function sections(rows: Rows): Section[] {
    if (rows.events.length === 0) return [];
    const drawn = vehiclesOf(rows.events).slice(0, drawnCount);
    const contrasts = contrastsTable(rows);
    const rates = ratesPlots(rows);
    return [
        {
            title: 'Who moved',
            blocks: [
                { kind: 'legend', entries: [...verdictLegend, ...sideLegend] },
                ...overviewPlots(rows),
                eventsTable(rows.events),
            ],
        },
        {
            title: 'Car by car',
            blocks: [
                {
                    kind: 'paragraph',
                    text: 'Camber and caster are brought to offset 0, so that a change of setting does not show; what is left moved by itself, or was measured otherwise. Settings stand in the text of each point.',
                },
                { kind: 'legend', entries: trackLegend },
                ...drawn.map((vehicle) => carGroup(rows, vehicle)),
            ],
        },
        ...(rates.length === 0
            ? []
            : [
                  {
                      title: 'How often plates slip',
                      blocks: [...rates, ...(contrasts === null ? [] : [contrasts])],
                  },
              ]),
    ];
}

export default defineReport({
    title: 'What moved, and why',
    question:
        'What did each session do to camber, caster and toe of the front wheels: did the plates hold, did something bend, or was it the measuring?',
    rows: schemas,
    findings,
    sections,
    method,
    highlight: (rows) => ({ field: 'vehicle', label: 'Car:', values: vehiclesOf(rows.events) }),
    filters: (rows) => [
        {
            field: 'event',
            label: 'Event:',
            values: Object.values(eventNames).filter((name) =>
                rows.events.some((row) => eventNames[row.verdict] === name),
            ),
        },
    ],
});
