import { programName } from '../../src/errors/programName.js';
import { type Block, type Column, type Section, table } from '../../src/report/blocks.js';
import { carAnchor } from '../../src/report/carAnchor.js';
import { defineReport } from '../../src/report/defineReport.js';
import { counted, fixed, listed } from '../../src/report/format.js';
import { cornerName } from '../../src/units/cornerName.js';
import { driftWords, isOpen } from '../../src/units/driftWords.js';
import { historyPlot } from './historyPlot.js';
import { towers } from './picture.js';
import {
    type Car,
    fronts,
    markOf,
    present,
    type Rows,
    type Setting,
    type State,
    schemas,
    settingsOf,
} from './rows.js';

/** Settings and sessions of a car in its tables. */
const listedCount = 8;

type Session = Rows['sessions'][number];

const ofSide = (front: 'FL' | 'FR', told: (row: State) => string | number | null) => (row: Setting) =>
    row.sides[front] === undefined ? null : told(row.sides[front]);
const side = (rows: Rows, front: 'FL' | 'FR', name: string): Column<Setting>[] => [
    { title: `${name} mark`, value: ofSide(front, (row) => markOf(rows, row)) },
    { title: 'camber, °', value: ofSide(front, (row) => row.camber_deg), digits: 2 },
    { title: 'caster, °', value: ofSide(front, (row) => row.caster_deg), digits: 2 },
    { title: 'toe, °', value: ofSide(front, (row) => row.toe_deg), digits: 2 },
];

const settingColumns = (rows: Rows): Column<Setting>[] => [
    { title: 'day', value: (row) => row.day },
    { title: 'target', value: (row) => row.target },
    { title: 'kit', value: (row) => (row.sides.FL ?? row.sides.FR)?.kit ?? 'original mount' },
    { title: 'index', value: (row) => (row.sides.FL ?? row.sides.FR)?.plate_index ?? null },
    ...side(rows, 'FL', 'left'),
    ...side(rows, 'FR', 'right'),
];

const sessionColumns: Column<Session>[] = [
    { title: 'day', value: (row) => row.day },
    { title: 'session', value: (row) => row.session ?? row.visit },
    { title: 'side', value: (row) => (row.corner === 'FL' ? 'left' : 'right') },
    { title: 'what it did', value: driftWords },
];

function carGroup(rows: Rows, { vehicle, chassis, visit_count, first_day, last_day }: Car): Block {
    const settings = settingsOf(rows, vehicle);
    const sessions = rows.sessions.filter((row) => row.vehicle === vehicle);
    const told = sessions.filter((row) => row.verdict !== 'held').slice(0, listedCount);
    const plot = historyPlot(rows, vehicle);
    const held = sessions.length - sessions.filter((row) => row.verdict !== 'held').length;
    return {
        kind: 'group',
        title: vehicle,
        id: carAnchor(vehicle),
        keys: { vehicle: [vehicle] },
        blocks: [
            {
                kind: 'paragraph',
                text: `${chassis}, ${counted(visit_count, 'visit')}${first_day === null ? '' : `, ${first_day} to ${last_day}`}.`,
                links: [
                    { href: 'card.html', text: 'Setting cards' },
                    { href: 'drift.html', text: 'Drift' },
                ],
            },
            ...(vehicle === rows.cars[0]!.vehicle ? [] : [towers(rows, vehicle)]),
            ...(plot === null ? [] : [plot]),
            settings.length === 0
                ? {
                      kind: 'paragraph',
                      text: 'It was never set: no install or adjust visit has an after reading.',
                  }
                : table(
                      `${vehicle}: settings to go back to, ${settings.length > listedCount ? `the newest ${listedCount} of ${settings.length}` : counted(settings.length, 'setting')}, as they were read`,
                      settings.slice(0, listedCount),
                      settingColumns(rows),
                  ),
            ...(sessions.length === 0
                ? []
                : told.length === 0
                  ? [
                        {
                            kind: 'paragraph' as const,
                            text: `All of its newest ${counted(sessions.length, 'corner session')} held.`,
                        },
                    ]
                  : [
                        table(
                            `${vehicle}: what sessions did, newest first; of the newest ${counted(sessions.length, 'corner session')} ${held} held`,
                            told,
                            sessionColumns,
                        ),
                    ]),
        ],
    };
}

function stands(rows: Rows, vehicle: string): string {
    const parts = fronts.flatMap((front) => {
        const now = present(rows, vehicle, front);
        return now === undefined || now.camber_deg === null
            ? []
            : [`${fixed(now.camber_deg, 2)}° ${front === 'FL' ? 'left' : 'right'}`];
    });
    return parts.length === 0 ? 'no camber read' : `camber ${listed(parts)}`;
}

function headline(rows: Rows): string {
    const [first] = rows.cars;
    if (first === undefined) return 'No front corner of any car was read yet';
    const open = rows.sessions.find((row) => row.vehicle === first.vehicle && isOpen(row));
    const state = `${first.vehicle} stands at ${stands(rows, first.vehicle)}`;
    return open === undefined ? state : `${state}, and its ${cornerName(open.corner)} is open`;
}

function answer(rows: Rows): string[] {
    const [first] = rows.cars;
    if (first === undefined) return [];
    const sessions = rows.sessions.filter((row) => row.vehicle === first.vehicle);
    const open = sessions.find(isOpen);
    const moved = sessions.find((row) => row.verdict !== 'held');
    const [setting] = settingsOf(rows, first.vehicle);
    const others = first.car_count - 1;
    return [
        open !== undefined
            ? `After ${open.session ?? open.visit}, ${cornerName(open.corner)}: ${driftWords(open)}.`
            : sessions.length === 0
              ? 'No session of it is on record.'
              : moved === undefined
                ? 'No session moved it for certain.'
                : `Last that did not hold, after ${moved.session ?? moved.visit}, ${cornerName(moved.corner)}: ${driftWords(moved)}.`,
        ...(setting === undefined
            ? []
            : [
                  `It was set last on ${setting.day ?? 'an unknown day'}${setting.target === null ? '' : ` for ${setting.target}`}: ${
                      fronts
                          .flatMap((front) => {
                              const row = setting.sides[front];
                              return row === undefined || row.mark_1 === null
                                  ? []
                                  : [`${cornerName(front)} mark ${markOf(rows, row)}`];
                          })
                          .join(', ') || 'marks not written down'
                  }.`,
              ]),
        ...(others <= 0
            ? []
            : [
                  `It was read last of ${counted(first.car_count, 'car')}; ${rows.cars.length < first.car_count ? `the newest ${rows.cars.length} are below, ${programName()} report car --vehicle NAME shows any other` : 'all are below'}.`,
              ]),
    ];
}

function sections(rows: Rows): Section[] {
    if (rows.cars.length === 0) return [];
    return [{ title: 'Car by car', blocks: rows.cars.map((car) => carGroup(rows, car)) }];
}

export default defineReport({
    title: 'Cars',
    question:
        'Where does the car stand, what did its sessions do to it, and which settings can it go back to?',
    group: 'team',
    rows: schemas,
    headline,
    picture: (rows) => (rows.cars.length === 0 ? [] : [towers(rows, rows.cars[0]!.vehicle, true)]),
    answer,
    findings: (rows) =>
        rows.cars.length === 0
            ? [{ text: 'There is nothing to show: load readings of a front corner.' }]
            : rows.cars.slice(0, 12).map((car) => ({
                  about: car.vehicle,
                  text: `${car.chassis}, read last on ${car.last_day ?? 'an unknown day'}: ${stands(rows, car.vehicle)}.`,
              })),
    sections,
    method: [
        {
            term: 'State',
            text: 'The mean of the repeated readings of a corner in one phase of a visit. Before: as found; after: as left.',
        },
        {
            term: 'Setting to go back to',
            text: 'The after state of an install or adjust visit. Its angles are as they were read then; going back to its marks brings back the place of the bearing, not what has worn or bent since. Read again.',
        },
        {
            term: 'What sessions did',
            text: 'Verdicts of the drift page, which tells how they are made and how sure they are.',
        },
    ],
    filters: (rows) =>
        rows.cars.length < 2
            ? []
            : [{ field: 'vehicle', label: 'Car:', values: rows.cars.map(({ vehicle }) => vehicle) }],
});
