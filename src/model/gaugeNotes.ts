import type { GaugeRow } from '../contracts/results/gauges.js';
import { HALF_WIDTH } from '../stats/settings/problem.js';
import { percent } from '../units/percent.js';
import { signed } from '../units/signed.js';
import type { ReferenceRow } from './gauges.js';

const names = (rows: readonly GaugeRow[]) => [...new Set(rows.map((row) => row.name))].join(', ');
const angle = (row: Pick<GaugeRow, 'response'>) => row.response.replace('_deg', '');

/** Per angle: the gauges whose measuring takes over 30 % of the tightest tolerance. */
function toleranceNotes(gauges: readonly GaugeRow[]): string[] {
    return [...new Set(gauges.map(angle))].flatMap((name) => {
        const takes = gauges
            .filter((row) => angle(row) === name)
            .flatMap((row) => row.tolerances.map((tolerance) => ({ gauge: row.name, ...tolerance })))
            .filter(({ share_of_tolerance }) => share_of_tolerance > 0.3);
        const tightest = Math.min(...takes.map(({ tolerance_deg }) => tolerance_deg));
        const shares = takes
            .filter(({ tolerance_deg }) => tolerance_deg === tightest)
            .sort((a, b) => a.share_of_tolerance - b.share_of_tolerance);
        if (shares.length === 0) return [];
        const told = [...new Map(shares.map((share) => [share.gauge, share])).values()].map(
            ({ gauge, share_of_tolerance }) => `${percent(share_of_tolerance)} with ${gauge}`,
        );
        return [
            `Measuring takes more than 30 % of the tightest ${name} tolerance (+-${tightest} deg): ${told.join(', ')}. Average three readings, or widen the tolerance.`,
        ];
    });
}

const readings = (count: number) => (count === 1 ? '1 reading' : `${count} readings`);

/** What readings of references say of the gauges, and that none were taken of the others. */
function referenceNotes(rows: readonly GaugeRow[], references: readonly ReferenceRow[]): string[] {
    const notes = references.map((row) => {
        const error = row.reference_error_deg!;
        const sign = error > 0 ? 'above' : 'below';
        const sure =
            row.reference_std_error_deg === null
                ? row.reference_missing
                : `standard error ${row.reference_std_error_deg.toFixed(3)}`;
        const first = row.reference_first_on;
        const days = first === row.reference_last_on ? first : `${first} to ${row.reference_last_on}`;
        return `${row.name} reads ${angle(row)} ${Math.abs(error).toFixed(3)} deg ${sign} the references (${sure}; ${readings(row.reference_reading_count)}, ${days}).`;
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
    return [...new Set(blind.map((one) => one.angle))].map((name) => {
        const own = blind.filter((one) => one.angle === name);
        const widest = Math.max(...own.map(({ tolerance_deg }) => tolerance_deg));
        return `${[...new Set(own.map((one) => one.name))].join(', ')} cannot judge a ${name} tolerance of +-${widest} deg by one reading: repeat, set-up and bias together are ${Math.max(...own.map(({ u_deg }) => u_deg)).toFixed(2)} deg, and the guard band leaves nothing. More repeats of one mounting do not help; re-mounting, a known reference and a better gauge do.`;
    });
}

/** What one gauge reads above another, told once for each two and only where it is sure. */
function pairNotes(gauges: readonly GaugeRow[]): string[] {
    return gauges.flatMap((row) =>
        row.compared
            .filter(
                ({ difference_deg, std_error_deg }) =>
                    difference_deg >= 0.02 && difference_deg > 2 * std_error_deg,
            )
            .map(
                ({ other_gauge, difference_deg, std_error_deg, setting_count }) =>
                    `${row.name} reads ${angle(row)} ${difference_deg.toFixed(2)} +-${std_error_deg.toFixed(std_error_deg < 0.01 ? 3 : 2)} deg above ${other_gauge} (standard error; from ${setting_count} ${setting_count === 1 ? 'setting' : 'settings'}).`,
            ),
    );
}

const walked = (row: GaugeRow) => Math.abs(row.walk_deg_per_week! * row.walk_weeks!);
const walkWords = (row: GaugeRow) => `${walked(row).toFixed(2)} deg over ${row.walk_weeks!.toFixed(0)} weeks`;

/** Gauges whose zero moves; where one of several does and nobody can tell which, all of them together. */
function walkNotes(gauges: readonly GaugeRow[]): string[] {
    const notes = [...new Set(gauges.map(angle))].flatMap((name) => {
        const own = gauges.filter(
            (row) => angle(row) === name && row.p_walks !== null && walked(row) >= 0.05,
        );
        const unsure = own.filter((row) => row.p_walks! >= 0.2 && row.p_walks! < 0.9);
        const either = unsure.length > 1 ? unsure : [];
        const sure = own.filter((row) => row.walks && !either.includes(row));
        const most = either.reduce<GaugeRow | null>(
            (found, row) => (found !== null && walked(found) >= walked(row) ? found : row),
            null,
        );
        return [
            ...sure.map(
                (row) =>
                    `${row.name} walks: its ${name} of settings that nobody changed moves by ${row.walk_deg_per_week!.toFixed(4)} deg a week (standard error ${row.walk_std_error_deg_per_week!.toFixed(4)}), ${walkWords(row)}. Have it calibrated.`,
            ),
            ...(most === null
                ? []
                : [
                      `One of ${either.map((row) => row.name).join(', ')} walks: what they read of the ${name} of one setting moves apart by ${walkWords(most)}. Which one is not known (${either.map((row) => `${row.name} ${percent(row.p_walks!)}`).join(', ')}). Read a reference with each now and in some weeks.`,
                  ]),
        ];
    });
    if (notes.length === 0) return [];
    return [
        ...notes,
        'What is known of a walk is taken off readings by their day. What all gauges walk alike shows only in returns to a setting after months and in readings of references.',
    ];
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

/** What a reader of `gauges` must know, as sentences. */
export function gaugeNotes(rows: readonly GaugeRow[], references: readonly ReferenceRow[] = []): string[] {
    if (rows.length === 0)
        return [
            'No reading names a gauge or a technician, so there is nothing to compare.',
            ...referenceNotes(rows, references),
        ];
    const notes: string[] = gaugeAnswers(rows);
    const gauges = rows.filter((row) => row.kind === 'gauge');
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
    for (const row of rows) {
        const sure = row.bias_deg !== null && Math.abs(row.bias_deg) > 2 * row.bias_std_error_deg!;
        if (sure && Math.abs(row.bias_deg!) >= 0.02) {
            notes.push(
                `${row.name} reads ${angle(row)} ${Math.abs(row.bias_deg!).toFixed(2)} deg ${row.bias_deg! > 0 ? 'higher' : 'lower'} than the average of those it was compared with (standard error ${row.bias_std_error_deg!.toFixed(3)}).`,
            );
        }
    }
    notes.push(...pairNotes(gauges), ...walkNotes(gauges), ...setUpNotes(gauges), ...unnamedNotes(gauges));
    notes.push(...toleranceNotes(gauges), ...judgeNotes(gauges));
    const outliers = rows.filter((row) => row.outlier_count > 0 && row.kind === 'gauge');
    for (const row of outliers) {
        notes.push(
            `${row.name}: ${row.outlier_count} repeats of ${angle(row)} lie far from their twins and were left out.`,
        );
    }
    notes.push(...referenceNotes(rows, references));
    if (references.length === 0)
        notes.push(
            'A bias is relative to the others: nothing here knows the true angle. What all gauges have in common counts in every answer about true angles as it is usual.',
        );
    return notes;
}
