import { counted, fixed, whole } from '../../src/report/format.js';
import { driftWords, isOpen } from '../../src/units/driftWords.js';
import { isStillOpen, unrecordedWords } from '../../src/units/unrecordedWords.js';
import type { Event, Rows } from './rows.js';

const sideName = { FL: 'left', FR: 'right' } as const;
const named = (row: Pick<Event, 'vehicle' | 'corner'>) => `${row.vehicle}, ${sideName[row.corner]}`;

/** How much slipped, and whether something is still to be done. */
export function headline({ totals, events, unrecorded }: Rows): string {
    const total = totals[0]!;
    if (total.corner_count === 0) return 'There is no session to judge yet';
    const slipped = `${whole(total.plate_moved_count)} of ${counted(total.corner_count, 'corner session')} slipped`;
    const open = [...events.filter(isOpen), ...unrecorded.filter(isStillOpen)];
    if (open.length > 0)
        return `${open.length === 1 ? `${named(open[0]!)} is open` : `${counted(open.length, 'finding')} are open, first ${named(open[0]!)}`}; ${slipped}`;
    if (total.plate_moved_count + total.bent_count === 0)
        return `Nothing slipped for certain in ${counted(total.corner_count, 'corner session')}`;
    const bent =
        total.bent_count === 0
            ? ''
            : `; ${total.bent_count === 1 ? 'one looked' : `${whole(total.bent_count)} looked`} bent`;
    return `${slipped}, all set again since${bent}`;
}

const sentence = (row: Event) => `${named(row)}, after ${row.session ?? row.visit}: ${driftWords(row)}.`;

/** What calls for action first; else who slips most. */
function first({ events, unrecorded, cars }: Rows): string[] {
    const open = events.find(isOpen);
    if (open !== undefined) return [sentence(open)];
    const left = unrecorded.find(isStillOpen);
    if (left !== undefined) return [`${named(left)}: ${unrecordedWords(left)}.`];
    const bent = events.find((row) => row.verdict === 'bent');
    if (bent !== undefined) return [sentence(bent)];
    const most = [...cars].sort((a, b) => b.plate_moved_count - a.plate_moved_count)[0];
    return most === undefined || most.plate_moved_count === 0
        ? []
        : [
              `${most.vehicle} slips most, ${whole(most.plate_moved_count)} times in ${counted(most.session_count, 'session')}.`,
          ];
}

/** How often plates slip, how sure the verdicts are, and what to look at first. */
export function answer(rows: Rows): string[] {
    const total = rows.totals[0]!;
    if (total.corner_count === 0) return [];
    const all = rows.rates.find((row) => row.factor === 'all');
    const moved = total.plate_moved_count + total.bent_count + total.other_count;
    return [
        ...first(rows),
        ...(all === undefined
            ? []
            : [
                  `A plate slips in ${fixed(100 * all.per_session, 1)} % of corner sessions (${fixed(100 * all.per_session_low, 1)} to ${fixed(100 * all.per_session_high, 1)} %), from ${counted(total.session_count, 'session')} of ${counted(total.vehicle_count, 'car')}.`,
              ]),
        `${whole(total.held_count)} held and ${whole(total.unclear_count)} ${total.unclear_count === 1 ? 'is' : 'are'} unclear${moved === 0 ? '' : `; of the ${whole(moved)} named about ${fixed(total.expected_wrong, 1)} are expected to be wrong`}.`,
    ];
}
