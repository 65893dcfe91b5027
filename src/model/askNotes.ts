import type { ReturnRow } from '../contracts/results/returns.js';
import { groupedBy } from '../stats/groupedBy.js';
import type { MostStop, Within } from '../stats/settings/asks.js';
import { type Most, WITHIN_LIMIT } from '../stats/settings/asks.js';
import type { Search } from '../stats/settings/problem.js';
import { capital } from '../units/capital.js';
import { cornerName } from '../units/cornerName.js';
import { directionWords } from '../units/directionWords.js';
import { plain } from '../units/plain.js';
import { probabilityWords } from '../units/probabilityWords.js';
import { marksWords, settingWords } from '../units/settingWords.js';
import { signed } from '../units/signed.js';
import type { AdvisedRow } from './advisedRow.js';
import { groundNotes } from './adviseNotes.js';
import type { LeftRow } from './history.js';
import { farthestMiss, returnWords } from './returns.js';
import { toeNotes } from './toeNotes.js';

type Angle = 'camber' | 'caster';

function all(rows: readonly AdvisedRow[], said: readonly string[]): string[] {
    if (rows.length === 0) return [];
    return [...new Set([...said, ...toeNotes(rows), ...groundNotes(rows)].map(capital))];
}

/** An angle as it is said: camber always with its sign. */
function level(deg: number, angle: Angle): string {
    return angle === 'camber' ? signed(deg, 2) : deg.toFixed(2);
}

/** `camber -0.49 deg (-0.55 to -0.43), from -0.84 to -1.33`. */
function changeWords(row: AdvisedRow, angle: Angle): string {
    const [change, deg] = [row[`${angle}_change_deg`], row[`${angle}_deg`]];
    if (change === null || deg === null) return `${angle} not known`;
    const [low, high] = [row[`${angle}_change_low_deg`], row[`${angle}_change_high_deg`]];
    const range = row.stay || low === null ? '' : ` (${signed(low, 2)} to ${signed(high!, 2)})`;
    return `${angle} ${signed(change, 2)} deg${range}, from ${level(deg - change, angle)} to ${level(deg, angle)}`;
}

function expectWords(row: AdvisedRow): string {
    return `${settingWords(row)}; expect ${changeWords(row, 'camber')}; ${changeWords(row, 'caster')}`;
}

function crossWords(rows: readonly AdvisedRow[], angle: Angle): string[] {
    const cross = rows[0]![`cross_${angle}_deg`];
    if (cross === null) return [];
    const changes = rows.map((row) => row[`${angle}_change_deg`]!);
    return [
        `left minus right ${angle} goes from ${signed(cross - changes[0]! + changes[1]!, 2)} to ${signed(cross, 2)} deg.`,
    ];
}

const anotherIndex = ({ any_clocking }: Search) =>
    any_clocking ? '' : '; --any-index looks at the other bolt positions';

/** Which part of a change is not to be had, and what stops it. */
function shortWords(row: AdvisedRow, search: Search): string[] {
    if (row.reachable) return [];
    return (['camber', 'caster'] as const).flatMap((angle) => {
        const [wanted, got] = [row[`target_${angle}_deg`], row[`${angle}_deg`]];
        const within = row[`wanted_${angle}_within_deg`]!;
        if (wanted === null || got === null || Math.abs(wanted - got) <= within) return [];
        const missing = wanted - got;
        const [out, aft] = [row.short_out_mm ?? 0, row.short_aft_mm ?? 0];
        const why = {
            scale_end: 'the scale ends there',
            between_marks: 'the marks are too far apart: ask with a smaller --step',
            slot_direction: `the plate does not move that way in this index${anotherIndex(search)}`,
        }[row.stop ?? 'scale_end'];
        return [
            `${cornerName(row.corner)}: ${signed(missing, 2)} deg of ${angle} stays undone at ${marksWords(row)}, about ${Math.hypot(out, aft).toFixed(1)} mm more ${directionWords(out, aft)} even to come within ${plain(within, 2)} deg; ${why}.`,
        ];
    });
}

/** What `advise --change` says. */
export function changeNotes(rows: readonly AdvisedRow[], search: Search): string[] {
    const [first] = rows;
    if (first === undefined) return [];
    const near = (['camber', 'caster'] as const)
        .filter((angle) => first[`target_${angle}_deg`] !== null)
        .map((angle) => `${plain(first[`wanted_${angle}_within_deg`]!, 2)} deg in ${angle}`)
        .join(' and ');
    return all(rows, [
        `${first.target}: ${rows.map(expectWords).join('. ')}.`,
        `Within ${near} of that with a probability ${probabilityWords(first.p_both ?? 0)}${rows.length > 1 ? ', both sides together' : ''}.`,
        ...rows.flatMap((row) => shortWords(row, search)),
        ...crossWords(rows, 'camber'),
    ]);
}

/** What `advise --equal` says. */
export function equalNotes(
    rows: readonly AdvisedRow[],
    angles: readonly Angle[],
    within: Within,
    search: Search,
): string[] {
    const [first] = rows;
    if (first === undefined) return [];
    const left = angles.filter((angle) => Math.abs(first[`cross_${angle}_deg`]!) > within[angle]);
    const near = angles.map((angle) => `${plain(within[angle], 2)} deg of ${angle}`).join(' and ');
    return all(rows, [
        `Both sides the same in ${angles.join(' and ')}: ${rows.map(settingWords).join('; ')}. Alike within ${near} with a probability ${probabilityWords(first.p_both ?? 0)}.`,
        ...angles.flatMap((angle) => crossWords(rows, angle)),
        ...left.map(
            (angle) =>
                `The plates bring left and right no nearer in ${angle} than ${Math.abs(first[`cross_${angle}_deg`]!).toFixed(2)} deg${anotherIndex(search)}.`,
        ),
        ...rows.filter((row) => !row.stay).map((row) => `${expectWords(row)}.`),
    ]);
}

function stopWords(
    stop: MostStop,
    { lose_deg, limit_deg, limit_var_deg2, margin_marks, angle }: Most,
): string {
    const other = angle === 'camber' ? 'caster' : 'camber';
    switch (stop) {
        case 'scale_end':
            return margin_marks > 0
                ? `the scale ends ${plain(margin_marks, 2)} marks further on`
                : 'the scale ends there';
        case 'slot_direction':
            return 'the plate does not move that way in this index: --any-index looks at the others';
        case 'margin':
            return `--margin keeps ${plain(margin_marks, 2)} marks free`;
        case 'lose':
            return `further on ${other} loses more than the ${plain(lose_deg!, 2)} deg of --lose`;
        case 'limit':
            return `further on ${limit_var_deg2 > 0 ? "an inspector's gauge" : 'the true angle'} would pass the limit of ${signed(limit_deg!, 2)} deg with more than ${plain(100 * (1 - WITHIN_LIMIT), 0)} %`;
    }
}

/** What `advise --most` says. */
export function mostNotes(rows: readonly AdvisedRow[], most: Most, search: Search): string[] {
    const [first] = rows;
    if (first === undefined) return [];
    const corners = rows.map((row) => `${expectWords(row)}; ${stopWords(row.stopped_by!, most)}`);
    const risk =
        most.limit_deg === null || most.limit_var_deg2 > 0
            ? []
            : rows.map(
                  (row) =>
                      `${cornerName(row.corner)}: the true ${most.angle} is within the limit of ${signed(most.limit_deg!, 2)} deg with a probability ${probabilityWords(row.p_in_tolerance ?? 0)}; a reading by the inspector's gauge adds its own error.`,
              );
    const free =
        most.lose_deg === null
            ? `What ${most.angle === 'camber' ? 'caster' : 'camber'} loses is not limited: --lose DEG does.`
            : '';
    return all(rows, [
        `${first.target}${search.any_clocking ? '' : ' in the present bolt position'}: ${corners.join('. ')}.`,
        ...risk,
        ...(free === '' ? [] : [free]),
        ...crossWords(rows, 'camber'),
        'Where tyre, spring, brake hose or sensor wire come too near, no reading tells: check clearance over full lock and travel before driving; --margin keeps marks free.',
    ]);
}

/** What comes back of one corner. */
export interface Return {
    left: LeftRow;
    angles: readonly { angle: Angle; then_deg: number; off_deg: number; sd_deg: number }[];
    same_clocking: boolean;
    same_kit: boolean;
}

function cornerWords({ left, angles }: Return): string {
    const parts = angles.map(
        ({ angle, then_deg, off_deg, sd_deg }) =>
            `${angle} ${level(then_deg + off_deg, angle)} deg, was ${level(then_deg, angle)} (off by ${signed(off_deg, 2)}, standard uncertainty ${sd_deg.toFixed(2)})`,
    );
    return `${cornerName(left.corner)} ${parts.length === 0 ? 'was not read then, or is not now' : parts.join(', ')}`;
}

/** Angles that lie more than `most` standard deviations from what they were. */
export const notBack = ({ angles }: Return, most: number) =>
    angles.filter(({ off_deg, sd_deg }) => Math.abs(off_deg) > most * sd_deg);

function aloneWords(
    rows: readonly AdvisedRow[],
    returns: readonly Return[],
    most: number,
    toeWithin: number,
): string {
    const mounts = returns.filter(({ same_clocking }) => !same_clocking);
    if (mounts.length > 0) {
        const what = mounts.some(({ same_kit }) => !same_kit)
            ? 'another kit sat there'
            : 'the plate sat otherwise';
        return `Marks alone will not do: on ${mounts.map(({ left }) => cornerName(left.corner)).join(' and ')} ${what}. Read all angles after fitting, and ask once more.`;
    }
    const off = returns.flatMap((one) =>
        notBack(one, most).map(
            ({ angle, off_deg }) => `${cornerName(one.left.corner)} ${angle} by ${signed(off_deg, 2)} deg`,
        ),
    );
    if (off.length > 0) {
        return `Marks alone will not do: ${off.join(', ')} would not come back, more than readings and slopes leave open (5 % risk over all angles). Something besides the plates has changed since: springs, ride height, wheels, a bent part, or a plate that slipped under its pointer. Read after setting the marks.`;
    }
    if (returns.every(({ angles }) => angles.length === 0)) {
        return 'Whether marks alone will do cannot be told: no angle was read both then and now.';
    }
    const toe = rows.filter((row) => row.target_toe_deg !== null && row.present_toe_deg !== null);
    const camber = 'Marks alone bring camber and caster back, as far as readings can tell';
    if (rows[0]!.toe_basis !== 'own' && !rows.every((row) => row.stay)) {
        return `${camber}; what toe does is not known, so read and set it.`;
    }
    if (toe.length < rows.length) return `${camber}; toe was not read both then and now, so read and set it.`;
    return toe.every((row) => Math.abs(row.toe_put_back_deg) <= toeWithin)
        ? `${camber}; toe comes back within ${plain(toeWithin, 2)} deg per wheel too: marks alone will do. Read once after setting them.`
        : `${camber}; toe does not come back by itself: turn the tie rods as said.`;
}

/** How well the kits have come back to their marks, and whether that is within what counts as reached. */
function repeatNotes(rows: readonly AdvisedRow[], repeated: readonly ReturnRow[]): string[] {
    const within = rows[0]!.wanted_camber_within_deg;
    return groupedBy(repeated, ({ kit }) => kit).map((ofKit) => {
        const camber = ofKit.find(({ response }) => response === 'camber_deg');
        const miss = camber === undefined ? null : farthestMiss(camber);
        if (miss === null || within === null) return `${returnWords(ofKit)}.`;
        return miss <= within
            ? `${returnWords(ofKit)}; marks alone bring camber within ${plain(within, 2)} deg.`
            : `${returnWords(ofKit)}; marks alone may miss by ${miss.toFixed(2)} deg of camber, so read after setting them.`;
    });
}

/** What `advise --back-to` says. */
export function backNotes(
    rows: readonly AdvisedRow[],
    returns: readonly Return[],
    most: number,
    toeWithin: number,
    repeated: readonly ReturnRow[],
    changed: string | null,
): string[] {
    const [first] = returns;
    if (first === undefined) return [];
    const { left } = first;
    const missing = returns.length === 1 ? [`Visit ${left.visit} left ${cornerName(left.corner)} only.`] : [];
    return all(rows, [
        `Back to ${left.visit} of ${left.left_on ?? 'an unknown day'}: ${rows.map(settingWords).join('; ')}.`,
        aloneWords(rows, returns, most, toeWithin),
        ...(changed === null ? [] : [`Since then ${changed}: the old marks may go with other angles now.`]),
        `To expect now: ${returns.map(cornerWords).join('; ')}.`,
        ...repeatNotes(rows, repeated),
        ...missing,
    ]);
}
