import { programName } from '../../src/errors/programName.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, fixed, listed, whole } from '../../src/report/format.js';
import { driftWords } from '../../src/units/driftWords.js';
import { unrecordedWords } from '../../src/units/unrecordedWords.js';
import { type Event, type Rows, vehiclesOf } from './rows.js';

/** Cars that get a sentence of their own. */
const spokenCount = 12;
/** Creeps and steps that are named. */
const largestCount = 6;

const sideName = { FL: 'left', FR: 'right' } as const;

function overview({ totals }: Rows): string {
    const total = totals[0]!;
    if (total.corner_count === 0) {
        return 'There is no session yet: no visit of kind session with readings before and after.';
    }
    const moved = total.plate_moved_count + total.bent_count + total.other_count;
    const parts = [
        `${counted(total.plate_moved_count, 'plate')} moved`,
        `${whole(total.bent_count)} bent`,
        `${whole(total.other_count)} other`,
    ];
    const named =
        moved === 0
            ? 'Nothing moved for certain'
            : `${listed(parts)}; of these ${moved} about ${fixed(total.expected_wrong, 1)} are expected to be wrong`;
    const untold =
        total.untold_count === 0
            ? ''
            : ` ${whole(total.untold_count)} of the unclear cannot be compared at all.`;
    return `${counted(total.session_count, 'session')} of ${counted(total.vehicle_count, 'car')}, ${counted(total.corner_count, 'front corner')}: ${whole(total.held_count)} held, ${whole(total.unclear_count)} unclear. ${named}.${untold}`;
}

function eventSentence(row: Event): string {
    const when = row.session ?? row.visit;
    return `After ${when}, ${sideName[row.corner]}: ${driftWords(row)}`;
}

function ofVehicle(rows: readonly Event[]): string {
    const named = rows.filter((row) => ['plate_moved', 'bent', 'other'].includes(row.verdict));
    const unclear = rows.filter((row) => row.verdict === 'unclear').length;
    const [bent, rest] = [
        named.filter((row) => row.verdict === 'bent'),
        named.filter((row) => row.verdict !== 'bent'),
    ];
    const newest = [...bent, ...rest].slice(0, 3).map(eventSentence);
    const more =
        named.length > newest.length
            ? [`${counted(named.length - newest.length, 'earlier event')} in the pictures`]
            : [];
    const doubt = unclear === 0 ? [] : [`${whole(unclear)} unclear`];
    return `${[...newest, ...more, ...doubt].join('. ')}.`;
}

/** Something bent on cars without a sentence of their own. */
function bentElsewhere({ cars }: Rows): Finding[] {
    const names = cars
        .slice(spokenCount)
        .filter((row) => row.bent_count > 0)
        .map((row) => `${row.vehicle} (${row.last_bent_day})`);
    if (names.length === 0) return [];
    return [
        {
            about: 'Bent elsewhere',
            text: `${listed(names, 40)}: a corner of each looked bent when it was read on the day in brackets. Do not run them until they have been inspected, unless that was done; ${programName()} drift --vehicle NAME says what.`,
        },
    ];
}

/** The largest of `rows` in words, and how many more there are. */
function largest<R>(rows: readonly R[], size: (row: R) => number, words: (row: R) => string): string {
    const sorted = [...rows].sort((a, b) => Math.abs(size(b)) - Math.abs(size(a)));
    const left = rows.length - largestCount;
    return listed([
        ...sorted.slice(0, largestCount).map(words),
        ...(left > 0 ? [`${whole(left)} more`] : []),
    ]);
}

function trendFindings({ trends }: Rows): Finding[] {
    const creeping = trends.filter((row) => row.pattern === 'creep');
    const stepped = trends.filter((row) => row.pattern === 'step');
    const more = (rows: readonly unknown[]) =>
        rows.length > largestCount ? ` ${programName()} export setting_trends gives all.` : '';
    const name = (row: Rows['trends'][number]) =>
        `${row.vehicle} ${sideName[row.corner]} ${row.response.replace('_deg', '')}`;
    return [
        ...(creeping.length === 0
            ? []
            : [
                  {
                      about: 'Creep',
                      text: `${largest(
                          creeping,
                          (row) => row.creep_deg_per_session,
                          (row) =>
                              `${name(row)} by ${fixed(row.creep_deg_per_session, 3)}° per session (${fixed(row.creep_low_deg, 3)} to ${fixed(row.creep_high_deg, 3)})`,
                      )} go one way over the sessions, settings taken off.${more(creeping)}`,
                  },
              ]),
        ...(stepped.length === 0
            ? []
            : [
                  {
                      about: 'Lasting steps',
                      text: `${largest(
                          stepped,
                          (row) => row.step_deg,
                          (row) => `${name(row)} by ${fixed(row.step_deg, 2)}° from ${row.step_visit}`,
                      )}: one step that stayed, settings taken off.${more(stepped)}`,
                  },
              ]),
    ];
}

function rateFindings({ rates, contrasts, totals }: Rows): Finding[] {
    const all = rates.find((row) => row.factor === 'all');
    if (all === undefined) return [];
    const total = totals[0]!;
    const perKm =
        all.per_100_km === null
            ? ''
            : `, ${fixed(all.per_100_km, 2)} per 100 km (${fixed(all.per_100_km_low, 2)} to ${fixed(all.per_100_km_high, 2)})`;
    const compared = contrasts.map((row) => {
        const told =
            row.p_adjusted_fdr !== null && row.p_adjusted_fdr < 0.05
                ? 'a difference'
                : 'the data do not tell them apart';
        return `${row.name} over ${row.other_name}: ${fixed(row.rate_ratio, 2)} times as often (${fixed(row.ratio_low, 2)} to ${row.ratio_high === null ? 'no end' : fixed(row.ratio_high, 2)}), ${told}`;
    });
    return [
        {
            about: 'How often',
            text: `A plate slips in ${fixed(100 * all.per_session, 1)} % of corner sessions (${fixed(100 * all.per_session_low, 1)} to ${fixed(100 * all.per_session_high, 1)} %)${perKm}. The odds used began at ${fixed(100 * total.prior_slip_share!, 0)} % and ended at ${fixed(100 * total.slip_share!, 0)} %.${compared.length === 0 ? '' : ` ${compared.slice(0, 6).join('; ')}.${compared.length > 6 ? ' The others are in the table.' : ''}`}`,
        },
    ];
}

/** What moved without a session, in short: the table has all. */
function unrecordedFinding({ unrecorded }: Rows): Finding[] {
    const moved = unrecorded.filter(({ verdict }) => verdict !== 'put_right');
    const [newest] = moved;
    if (newest === undefined) return [];
    return [
        {
            about: 'Without a session',
            text: `${counted(moved.length, 'corner')} moved though nothing ran, or other than the pointers say; newest ${newest.vehicle}, ${sideName[newest.corner]}, found at ${newest.visit}: ${unrecordedWords(newest)}.`,
        },
    ];
}

/** What the page found: the fleet, then car by car, then over time. */
export function findings(rows: Rows): Finding[] {
    const cars = vehiclesOf(rows.events)
        .slice(0, spokenCount)
        .map((vehicle) => ({ vehicle, events: rows.events.filter((row) => row.vehicle === vehicle) }))
        .filter(({ events }) => events.some((row) => row.verdict !== 'held'));
    return [
        { about: 'Overall', text: overview(rows) },
        ...cars.map(({ vehicle, events }) => ({ about: vehicle, text: ofVehicle(events) })),
        ...bentElsewhere(rows),
        ...unrecordedFinding(rows),
        ...trendFindings(rows),
        ...rateFindings(rows),
    ];
}
