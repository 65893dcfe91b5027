import { programName } from '../../src/errors/programName.js';
import { type Table, table } from '../../src/report/blocks.js';
import { counted, whole } from '../../src/report/format.js';
import { driftWords, readingThatWouldTell } from '../../src/units/driftWords.js';
import { probabilityCell } from '../../src/units/probabilityWords.js';
import { unrecordedWords } from '../../src/units/unrecordedWords.js';
import { type Event, eventNames, type Rows, type Verdict } from './rows.js';

/** Most rows of a table. */
const carLimit = 200;
const eventLimit = 100;

const sideName = { FL: 'left', FR: 'right' } as const;

/** The events as the filter of the page calls them. */
function eventsOf(row: Rows['cars'][number]): string[] {
    return (Object.keys(eventNames) as Verdict[])
        .filter((verdict) => row[`${verdict}_count`] > 0)
        .map((verdict) => eventNames[verdict]);
}

/** Every car with what its sessions did, those with most that moved first. */
export function carsTable({ cars, events }: Rows): Table {
    const newest = (vehicle: string) =>
        events.find((row) => row.vehicle === vehicle && row.verdict !== 'held');
    const shown = cars.slice(0, carLimit);
    const cut =
        cars.length > shown.length
            ? `. The first ${carLimit} of ${counted(cars.length, 'car')}; ${programName()} drift gives all`
            : '';
    return table(
        `Corner sessions of each car by verdict, and the newest that did not hold for certain${cut}`,
        shown,
        [
            { title: 'car', value: (row) => row.vehicle },
            { title: 'chassis', value: (row) => row.chassis },
            { title: 'sessions', value: (row) => row.session_count },
            { title: 'held', value: (row) => row.held_count },
            { title: 'plate moved', value: (row) => row.plate_moved_count },
            { title: 'bent', value: (row) => row.bent_count },
            { title: 'other', value: (row) => row.other_count },
            { title: 'unclear', value: (row) => row.unclear_count },
            { title: 'newest', value: (row) => row.last_day },
            {
                title: 'what',
                value: (row) => {
                    const event = newest(row.vehicle);
                    return event === undefined ? null : `${sideName[event.corner]}: ${driftWords(event)}`;
                },
            },
        ],
        (row) => ({ vehicle: [row.vehicle], event: eventsOf(row) }),
    );
}

function whatCell(row: Event): string {
    const reading = readingThatWouldTell(row, row);
    return reading === null ? driftWords(row) : `${driftWords(row)}. Read ${reading}`;
}

/** The newest events, one row each. */
export function eventsTable({ events }: Rows): Table {
    const all = events.filter((row) => row.verdict !== 'held');
    const shown = all.slice(0, eventLimit);
    const cut =
        all.length > shown.length
            ? `. The newest ${eventLimit} of ${whole(all.length)}; ${programName()} drift gives all, with --vehicle NAME those of one car`
            : '';
    return table(
        `Corners that did not hold for certain, newest first${cut}`,
        shown,
        [
            { title: 'day', value: (row) => row.day },
            { title: 'car', value: (row) => row.vehicle },
            { title: 'side', value: (row) => sideName[row.corner] },
            { title: 'session', value: (row) => row.session ?? row.visit },
            { title: 'verdict', value: (row) => eventNames[row.verdict] },
            {
                title: 'probability of the verdict',
                value: (row) =>
                    probabilityCell(
                        row.verdict === 'unclear' || row.p_wrong === null ? null : 1 - row.p_wrong,
                    ),
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

/** What moved without a session, the newest first; null where nothing did. */
export function unrecordedTable({ unrecorded }: Rows): Table | null {
    if (unrecorded.length === 0) return null;
    const shown = unrecorded.slice(0, eventLimit);
    const cut =
        unrecorded.length > shown.length
            ? `. The newest ${eventLimit} of ${whole(unrecorded.length)}; ${programName()} drift gives all`
            : '';
    return table(
        `Moved though nothing ran, or other than the pointers say, newest first${cut}`,
        shown,
        [
            { title: 'day', value: (row) => row.day },
            { title: 'car', value: (row) => row.vehicle },
            { title: 'side', value: (row) => sideName[row.corner] },
            { title: 'after', value: (row) => row.before_visit },
            { title: 'found at', value: (row) => row.visit },
            { title: 'what', value: (row) => unrecordedWords(row) },
            { title: 'camber', value: (row) => row.camber_judged_deg, digits: 2 },
            { title: 'toe', value: (row) => row.toe_judged_deg, digits: 2 },
        ],
        (row) => ({ vehicle: [row.vehicle] }),
    );
}
