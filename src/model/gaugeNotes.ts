import type { GaugeRow } from '../contracts/results/gauges.js';
import { programName } from '../errors/programName.js';
import { counted, listed } from '../errors/words.js';
import { HALF_WIDTH } from '../stats/settings/problem.js';
import { percent } from '../units/percent.js';
import { signed } from '../units/signed.js';
import type { ReferenceRow } from './gauges.js';

const names = (rows: readonly GaugeRow[]) => [...new Set(rows.map((row) => row.name))].join(', ');
const angle = (row: Pick<GaugeRow, 'response'>) => row.response.replace('_deg', '');

/** How many gauges, people or pairs of gauges a sentence lists. */
const MOST = 8;

/** What is told of several behind commas, largest first; beyond {@link MOST} how many more, and where they are. */
function largest<T>(
    all: readonly T[],
    size: (one: T) => number,
    words: (one: T, i: number) => string,
): string {
    const told = [...all].sort((a, b) => size(b) - size(a)).map(words);
    return listed(told, MOST) + (told.length > MOST ? ` (${programName()} gauges --json)` : '');
}

/** One sentence for each angle that `all` speak of. */
function byAngle<T extends Pick<GaugeRow, 'response'>>(
    all: readonly T[],
    sentence: (own: readonly T[], name: string) => string,
): string[] {
    return [...new Set(all.map(angle))].map((name) =>
        sentence(
            all.filter((one) => angle(one) === name),
            name,
        ),
    );
}

/** The gauges whose measuring takes over 30 % of the tightest tolerance of an angle. */
function toleranceNotes(gauges: readonly GaugeRow[]): string[] {
    const told = [...new Set(gauges.map(angle))].flatMap((name) => {
        const takes = gauges
            .filter((row) => angle(row) === name)
            .flatMap((row) => row.tolerances.map((tolerance) => ({ gauge: row.name, ...tolerance })))
            .filter(({ share_of_tolerance }) => share_of_tolerance > 0.3);
        const tightest = Math.min(...takes.map(({ tolerance_deg }) => tolerance_deg));
        const shares = takes
            .filter(({ tolerance_deg }) => tolerance_deg === tightest)
            .sort((a, b) => a.share_of_tolerance - b.share_of_tolerance);
        if (shares.length === 0) return [];
        const own = [...new Map(shares.map((share) => [share.gauge, share])).values()];
        const worst = largest(
            own,
            (one) => one.share_of_tolerance,
            ({ gauge, share_of_tolerance }) => `${percent(share_of_tolerance)} with ${gauge}`,
        );
        return [`${name} tolerance (+-${tightest} deg): ${worst}`];
    });
    if (told.length === 0) return [];
    return [
        `Measuring takes more than 30 % of the tightest ${told.join('; ')}. Average three readings, or widen the tolerance.`,
    ];
}

/** What readings of references say of the gauges, and that none were taken of the others. */
function referenceNotes(rows: readonly GaugeRow[], references: readonly ReferenceRow[]): string[] {
    const notes = byAngle(references, (own, name) => {
        const told = largest(
            own,
            (row) => Math.abs(row.reference_error_deg!),
            (row, i) => {
                const error = row.reference_error_deg!;
                const sign = error > 0 ? 'above' : 'below';
                const sure =
                    row.reference_std_error_deg === null
                        ? row.reference_missing
                        : `standard error ${row.reference_std_error_deg.toFixed(3)}`;
                const first = row.reference_first_on;
                const days = first === row.reference_last_on ? first : `${first} to ${row.reference_last_on}`;
                const deg = Math.abs(error).toFixed(3);
                const read = i === 0 ? `reads ${name} ${deg} deg ${sign} the references` : `${deg} ${sign}`;
                return `${row.name} ${read} (${sure}; ${counted(row.reference_reading_count, 'reading')}, ${days})`;
            },
        );
        return `${told}.`;
    });
    const known = new Set(rows.filter((row) => row.kind === 'gauge').map((row) => row.name));
    const strangers = [...new Set(references.map((row) => row.name))].filter((name) => !known.has(name));
    if (strangers.length > 0) {
        notes.push(`${strangers.join(', ')}: read on references, but no reading names it.`);
    }
    const unread = rows.filter(
        ({ kind, reference_reading_count }) => kind === 'gauge' && reference_reading_count === 0,
    );
    if (references.length > 0 && unread.length > 0) {
        notes.push(
            `The biases of the column bias are relative to the others; no reference was read for ${[...new Set(unread.map((row) => `${row.name} (${angle(row)})`))].join(', ')}.`,
        );
    }
    return notes;
}

/** Tolerances that no guard band leaves anything of, by one reading. */
function judgeNotes(gauges: readonly GaugeRow[]): string[] {
    const blind = gauges.flatMap((row) =>
        row.tolerances
            .filter(
                ({ guarded_tolerance_deg, tolerance_deg }) => guarded_tolerance_deg <= 0.1 * tolerance_deg,
            )
            .map(({ tolerance_deg, u_deg }) => ({ name: row.name, angle: angle(row), tolerance_deg, u_deg })),
    );
    if (blind.length === 0) return [];
    const told = [...new Set(blind.map((one) => one.angle))].map((name) => {
        const own = blind.filter((one) => one.angle === name);
        const widest = Math.max(...own.map(({ tolerance_deg }) => tolerance_deg));
        return `${[...new Set(own.map((one) => one.name))].join(', ')} cannot judge a ${name} tolerance of +-${widest} deg by one reading (repeat, set-up and bias together: ${Math.max(...own.map(({ u_deg }) => u_deg)).toFixed(2)} deg)`;
    });
    return [
        `${told.join('; ')}: the guard band leaves nothing. More repeats of one mounting do not help; re-mounting, a known reference and a better gauge do.`,
    ];
}

/** What gauges and people read beside the average of those that they met, where it is sure. */
function biasNotes(rows: readonly GaugeRow[]): string[] {
    const sure = rows.filter(
        ({ bias_deg, bias_std_error_deg }) =>
            bias_deg !== null && Math.abs(bias_deg) >= 0.02 && Math.abs(bias_deg) > 2 * bias_std_error_deg!,
    );
    return byAngle(sure, (own, name) => {
        const told = largest(
            own,
            (row) => Math.abs(row.bias_deg!),
            (row, i) => {
                const deg = Math.abs(row.bias_deg!).toFixed(2);
                const side = row.bias_deg! > 0 ? 'higher' : 'lower';
                const error = row.bias_std_error_deg!.toFixed(3);
                return i === 0
                    ? `${row.name} reads ${name} ${deg} deg ${side} than the average of those it was compared with (standard error ${error})`
                    : `${row.name} ${deg} ${side} (${error})`;
            },
        );
        return `${told}.`;
    });
}

/** What one gauge reads above another, told once for each two and only where it is sure. */
function pairNotes(gauges: readonly GaugeRow[]): string[] {
    const sure = gauges.flatMap(({ name, response, compared }) =>
        compared
            .filter(
                ({ difference_deg, std_error_deg }) =>
                    difference_deg >= 0.02 && difference_deg > 2 * std_error_deg,
            )
            .map((pair) => ({ name, response, ...pair })),
    );
    return byAngle(sure, (own, angleName) => {
        const told = largest(
            own,
            ({ difference_deg }) => difference_deg,
            ({ name, other_gauge, difference_deg, std_error_deg, setting_count }, i) => {
                const error = std_error_deg.toFixed(std_error_deg < 0.01 ? 3 : 2);
                const settings = counted(setting_count, 'setting');
                return i === 0
                    ? `${name} reads ${angleName} ${difference_deg.toFixed(2)} +-${error} deg above ${other_gauge} (standard error; from ${settings})`
                    : `${name} ${difference_deg.toFixed(2)} +-${error} above ${other_gauge} (${settings})`;
            },
        );
        return `${told}.`;
    });
}

const walked = (row: GaugeRow) => Math.abs(row.walk_deg_per_week! * row.walk_weeks!);
const walkWords = (row: GaugeRow) => `${walked(row).toFixed(2)} deg over ${row.walk_weeks!.toFixed(0)} weeks`;

/** Gauges whose zero moves, all of them, as each is to be calibrated; where one of several does and nobody can tell which, them together. */
function walkNotes(gauges: readonly GaugeRow[]): string[] {
    const ofAngles = [...new Set(gauges.map(angle))].map((name) => {
        const own = gauges
            .filter((row) => angle(row) === name && row.p_walks !== null && walked(row) >= 0.05)
            .sort((a, b) => walked(b) - walked(a));
        const unsure = own.filter((row) => row.p_walks! >= 0.2 && row.p_walks! < 0.9);
        const either = unsure.length > 1 ? unsure : [];
        return { name, either, sure: own.filter((row) => row.walks && !either.includes(row)) };
    });
    const sure = ofAngles.flatMap((one) => one.sure).sort((a, b) => walked(b) - walked(a));
    const told = sure.map((row, i) => {
        const words = i === 0 ? ' of settings that nobody changed moves' : '';
        return `${row.name}${i === 0 ? ' walks' : ''}: its ${angle(row)}${words} by ${row.walk_deg_per_week!.toFixed(4)} deg a week (standard error ${row.walk_std_error_deg_per_week!.toFixed(4)}), ${walkWords(row)}`;
    });
    const it = new Set(sure.map(({ name }) => name)).size === 1 ? 'it' : 'them';
    const notes = [
        ...(told.length === 0 ? [] : [`${told.join('; ')}. Have ${it} calibrated.`]),
        ...ofAngles.flatMap(({ name, either }) =>
            either.length === 0
                ? []
                : [
                      `One of ${names(either)} walks: what they read of the ${name} of one setting moves apart by ${walkWords(either[0]!)}. Which one is not known (${either.map((row) => `${row.name} ${percent(row.p_walks!)}`).join(', ')}). Read a reference with each now and in some weeks.`,
                  ],
        ),
    ];
    if (notes.length === 0) return [];
    return [
        ...notes.slice(0, -1),
        `${notes.at(-1)} What is known of a walk is taken off readings by their day. What all gauges walk alike shows only in returns to a setting after months and in readings of references.`,
    ];
}

function outlierNotes(gauges: readonly GaugeRow[]): string[] {
    const told = largest(
        gauges.filter(({ outlier_count }) => outlier_count > 0),
        ({ outlier_count }) => outlier_count,
        (row) => `${row.name}: ${counted(row.outlier_count, 'repeat')} of ${angle(row)}`,
    );
    return told === '' ? [] : [`${told} lie far from their twins and were left out.`];
}

function setUpNotes(gauges: readonly GaugeRow[]): string[] {
    const untold = gauges.filter((row) => row.set_up_source === 'prior');
    if (untold.length === 0) return [];
    const angles = [...new Set(untold.map(angle))];
    return [
        `Never repeated over a mounting: ${angles.join(', ')}. What clamps, rim and floor add from one visit to the next is taken as usual (${angles.map((name) => `${name} ${untold.find((row) => angle(row) === name)!.set_up_deg!.toFixed(2)} deg`).join(', ')}); repeats of one mounting cannot show it. Read a car again in a check visit, or mount the gauge anew between two repeats (remounted yes).`,
    ];
}

function unnamedNotes(gauges: readonly GaugeRow[]): string[] {
    const unnamed = gauges.filter(({ name }) => name === '(not named)');
    if (unnamed.length === 0) return [];
    const most = Math.max(...unnamed.map(({ reading_count }) => reading_count));
    return [
        `${most} readings name no gauge: they count as one of their own, (not named), and may hide several. Write the gauge down.`,
    ];
}

/** The answers that come first: the smallest change worth believing by each gauge, and the people against those that they met. */
export function gaugeAnswers(rows: readonly GaugeRow[]): string[] {
    const camber = rows.filter(({ response }) => response === 'camber_deg');
    const least = camber.flatMap(({ kind, name, ...row }) => {
        const deg = row.believable_change_of_visits_deg ?? row.believable_change_deg;
        return kind === 'gauge' && deg !== null ? [`${name} ${deg.toFixed(2)} deg`] : [];
    });
    const people = camber.flatMap(({ kind, name, bias_deg, bias_std_error_deg }) =>
        kind === 'technician' && bias_deg !== null
            ? [`${name} ${signed(bias_deg, 3)} +-${(HALF_WIDTH * bias_std_error_deg!).toFixed(3)}`]
            : [],
    );
    return [
        ...(least.length === 0
            ? []
            : [
                  `Smallest change of camber worth believing between two visits, one reading each: ${least.join(', ')}.`,
              ]),
        ...(people.length === 0
            ? []
            : [
                  `What people read of camber above those that they were compared with, deg with 95 % limits: ${people.join(', ')}.`,
              ]),
    ];
}

/** What a reader of `gauges` must know, as sentences: behind the answers what asks for something to be done comes first. */
export function gaugeNotes(rows: readonly GaugeRow[], references: readonly ReferenceRow[] = []): string[] {
    if (rows.length === 0)
        return [
            'No reading names a gauge or a technician, so there is nothing to compare.',
            ...referenceNotes(rows, references),
        ];
    const gauges = rows.filter((row) => row.kind === 'gauge');
    const notes = [
        ...gaugeAnswers(rows),
        ...walkNotes(gauges),
        ...judgeNotes(gauges),
        ...toleranceNotes(gauges),
        ...unnamedNotes(gauges),
    ];
    const guessed = gauges
        .filter((row) => row.source === 'prior' || row.source === 'typical')
        .filter(({ name }) => name !== '(not named)');
    if (guessed.length > 0) {
        notes.push(
            `No own repeats of ${names(guessed)}: the repeatability shown is that of the other gauges (typical) or what is usual (prior). Read a few states twice (repeat 1, 2) to know it.`,
        );
    }
    if (rows.some((row) => row.kind === 'pair')) {
        notes.push(
            'Confounded: each person used one gauge only, so the bias of a gauge and of its user cannot be told apart; the pairs are shown. Let two people use one gauge, or one person two, on one car.',
        );
    }
    notes.push(
        ...setUpNotes(gauges),
        ...referenceNotes(rows, references),
        ...biasNotes(rows),
        ...pairNotes(gauges),
        ...outlierNotes(gauges),
    );
    if (references.length === 0)
        notes.push(
            'A bias is relative to the others: nothing here knows the true angle. What all gauges have in common counts in every answer about true angles as it is usual.',
        );
    return notes;
}
