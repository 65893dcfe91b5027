import { programName } from '../../src/errors/programName.js';
import type { Block, LegendEntry, Section } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { defineReport } from '../../src/report/defineReport.js';
import { counted } from '../../src/report/format.js';
import { answer, headline } from './answer.js';
import { carsTable, eventsTable, unrecordedTable } from './eventTables.js';
import { findings } from './findings.js';
import { method } from './method.js';
import { overviewPlots } from './overviewPlots.js';
import { picture } from './picture.js';
import { planePlot } from './planePlot.js';
import { contrastsTable, ratesPlots } from './ratesPlot.js';
import { eventNames, type Rows, schemas, vehiclesOf } from './rows.js';
import { toePlot, trackPlot } from './trackPlot.js';
import { verdictLegend } from './verdictMarks.js';

/** Cars with pictures of their own. */
const drawnCount = 12;

const trackLegend: LegendEntry[] = [
    ...verdictLegend,
    { mark: 'arrow-left', paint: paint.first, label: 'left' },
    { mark: 'arrow', paint: paint.second, label: 'right' },
    { mark: 'dashed', paint: paint.muted, label: 'limits of a reading, or the way the plate slides' },
    { mark: 'band', paint: paint.first, label: 'limits of the moving average' },
    { mark: 'line', paint: paint.rule, label: 'plate set' },
];

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

/** What the pictures leave out, and where it is. */
function cutParagraphs({ cars, tracks }: Rows): Block[] {
    const shown = Math.max(0, ...tracks.map((row) => row.place));
    const texts = [
        ...(cars.length > drawnCount
            ? [
                  `Pictures of the ${drawnCount} cars with most that moved; ${programName()} report drift --vehicle NAME draws any other.`,
              ]
            : []),
        ...(tracks.some((row) => row.reading_count > shown)
            ? [
                  `Each chart shows its newest ${counted(shown, 'reading')} at most; ${programName()} export setting_tracks gives all, of cars with three sessions or more.`,
              ]
            : []),
    ];
    return texts.length === 0 ? [] : [{ kind: 'paragraph', text: texts.join(' ') }];
}

function sections(rows: Rows): Section[] {
    if (rows.events.length === 0) return [];
    const drawn = vehiclesOf(rows.events).slice(0, drawnCount);
    const contrasts = contrastsTable(rows);
    const rates = ratesPlots(rows);
    const unrecorded = unrecordedTable(rows);
    return [
        {
            title: 'Who moved',
            blocks: [
                { kind: 'legend', entries: verdictLegend },
                ...overviewPlots(rows),
                carsTable(rows),
                eventsTable(rows),
                ...(unrecorded === null ? [] : [unrecorded]),
            ],
        },
        {
            title: 'Car by car',
            blocks: [
                {
                    kind: 'paragraph',
                    text: 'Camber and caster are brought to offset 0, so that a change of setting does not show; what is left moved by itself, or was measured otherwise. Settings stand in the text of each point.',
                },
                ...cutParagraphs(rows),
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
    title: 'Drift',
    question:
        'What did each session do to camber, caster and toe of the front wheels: did the plates hold, did something bend, or was it the measuring?',
    group: 'team',
    rows: schemas,
    headline,
    picture,
    answer,
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
