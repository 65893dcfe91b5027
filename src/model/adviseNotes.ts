import { basedAngles, basisWords } from '../units/basisWords.js';
import { capital } from '../units/capital.js';
import { cornerName } from '../units/cornerName.js';
import { directionWords } from '../units/directionWords.js';
import { costliestLimit } from '../units/limitWords.js';
import { probabilityWords } from '../units/probabilityWords.js';
import { marksWords, settingWords } from '../units/settingWords.js';
import { signed } from '../units/signed.js';
import type { AdvisedRow } from './advisedRow.js';
import { toeBetweenNotes, toeNotes } from './toeNotes.js';

function likelihood(rows: readonly AdvisedRow[]): string {
    const { p_both } = rows[0]!;
    if (p_both === null) return '';
    const all = `Everything is within tolerance with a probability ${probabilityWords(p_both)}.`;
    return ` ${all} ${costliestLimit(rows, p_both)}`.trimEnd();
}

function whatToDo(rows: readonly AdvisedRow[]): string {
    return `${rows[0]!.target}: ${rows.map(settingWords).join('; ')}.${likelihood(rows)}`;
}

const excesses = {
    camber: { more: 'too negative in camber', less: 'too positive in camber' },
    caster: { more: 'short of caster', less: 'over in caster' },
} as const;

function shortage(row: AdvisedRow): string {
    const met = (['camber', 'caster'] as const).filter((angle) => row[`short_${angle}_deg`] === 0);
    const angles = (['camber', 'caster'] as const).flatMap((angle) => {
        const needed = row[`short_${angle}_deg`] ?? 0;
        if (needed === 0) return [];
        return [`${Math.abs(needed).toFixed(2)} deg ${excesses[angle][needed > 0 ? 'more' : 'less']}`];
    });
    const [out, aft] = [row.short_out_mm!, row.short_aft_mm!];
    return `${met.map((angle) => `${angle} within tolerance, `).join('')}${angles.join(' and ')} for the tolerance, which takes ${Math.hypot(out, aft).toFixed(1)} mm more ${directionWords(out, aft)}`;
}

function reason(row: AdvisedRow, elsewhere: string): string {
    switch (row.stop!) {
        case 'scale_end':
            return 'the scale ends there';
        case 'between_marks':
            return 'the tolerance lies between two marks: ask with a smaller --step, or widen it';
        case 'slot_direction':
            return `no mark in this bolt position comes within tolerance${elsewhere}`;
    }
}

function notReached(row: AdvisedRow, elsewhere: string): string[] {
    if (row.reachable) return [];
    return [
        `${cornerName(row.corner)} cannot reach ${row.target}: nearest is ${marksWords(row)}, ${shortage(row)}; ${reason(row, elsewhere)}.`,
    ];
}

function crossNotes(row: AdvisedRow, elsewhere: string): string[] {
    return (['camber', 'caster'] as const).flatMap((angle) => {
        const [cross, limit] = [row[`cross_${angle}_deg`], row[`cross_${angle}_max_deg`]];
        if (limit === null || cross === null) return [];
        const wanted = row[`target_cross_${angle}_deg`] ?? 0;
        if (Math.abs(cross - wanted) <= limit) return [];
        const from = wanted === 0 ? '' : ` from the ${signed(wanted, 2)} deg that are wanted`;
        return [
            `${row.target}: left minus right ${angle} is expected at ${signed(cross, 2)} deg, over the limit of ${limit} deg${from}; the plates reach no better pair${elsewhere}.`,
        ];
    });
}

function basisNotes(row: AdvisedRow): string[] {
    return basisWords(basedAngles(row)).map((words) => `${words}; the intervals are wide for it.`);
}

const mountChange =
    'Another mount goes in: where its bearing comes to lie against the present one is taken as unsure by 1 mm. Read all angles again after fitting and ask once more.';

/** What is not known where an angle was not read at the present place. */
function unreadWords(row: AdvisedRow, angle: 'camber' | 'caster'): string {
    const what = `${cornerName(row.corner)}: ${angle} was not read where the bearing sits now, so`;
    if (row[`target_${angle}_deg`] !== null) return `${what} the answer does not judge it.`;
    const toe = angle === 'caster' ? ', nor what a change of toe takes off the camber' : '';
    return `${what} the ${angle} to expect is not known${toe}. Read it, and ask once more.`;
}

export const oneSided = (corner: 'FL' | 'FR') =>
    `Only ${cornerName(corner)} is known, so nothing ties it to the other side.`;

function missingNotes(rows: readonly AdvisedRow[]): string[] {
    const notes = rows.flatMap((row) =>
        (['camber', 'caster'] as const)
            .filter((angle) => row[`present_${angle}_deg`] === null)
            .map((angle) => unreadWords(row, angle)),
    );
    if (rows.some((row) => row.present_kit !== row.kit)) notes.push(mountChange);
    const corners = new Set(rows.map((row) => row.corner));
    if (corners.size === 1 && ['target', 'most'].includes(rows[0]!.asked))
        notes.push(oneSided(rows[0]!.corner));
    return notes;
}

const parts = {
    repeat: 'what one reading differs from the next: more repeats help',
    set_up: 'the set-up of the visit (clamps, rim, floor): reading again without re-mounting does not help',
    bias: 'what the gauge adds and nobody knows: no repeat helps, another gauge or a known reference does',
    move: 'the slopes and the pointers: no repeat helps',
} as const;

/** What the interval is of, and which part of its uncertainty is the largest. */
function partNotes(row: AdvisedRow): string[] {
    const angle = row.camber_repeat_sd_deg === null ? 'caster' : 'camber';
    if (row[`${angle}_repeat_sd_deg`] === null) return [];
    const sizes = (['repeat', 'set_up', 'bias', 'move'] as const).map((part) => ({
        part,
        sd: row[`${angle}_${part}_sd_deg`]!,
    }));
    const largest = sizes.reduce((most, one) => (one.sd > most.sd ? one : most));
    const all = Math.sqrt(sizes.reduce((sum, { sd }) => sum + sd * sd, 0));
    const off = row[`${angle}_bias_deg`]!;
    const taken =
        Math.abs(off) >= 0.01
            ? ` ${angle} is told less the ${signed(off, 2)} deg that this gauge seems to add; the gauge will show ${signed(row[`${angle}_shown_deg`]!, 2)} deg.`
            : '';
    return [
        `intervals are of the true angle. The largest part of the ${all.toFixed(2)} deg of standard uncertainty of ${angle} is ${parts[largest.part]} (${largest.sd.toFixed(2)} deg).${taken}`,
    ];
}

/** What an answer rests on and lacks: whose slopes, the largest uncertainty, what was not read, another mount. */
export function groundNotes(rows: readonly AdvisedRow[]): string[] {
    return [...basisNotes(rows[0]!), ...partNotes(rows[0]!), ...missingNotes(rows)];
}

/** What `advise` says besides its rows, most wanted first; `rows` in order of target and corner. */
export function adviseNotes(rows: readonly AdvisedRow[], anyIndex: boolean): string[] {
    const elsewhere = anyIndex ? '' : '; --any-index looks at the other bolt positions';
    const targets = [...new Set(rows.map((row) => row.target))].map((target) =>
        rows.filter((row) => row.target === target),
    );
    const notes = [
        ...targets.map(whatToDo),
        ...rows.flatMap((row) => notReached(row, elsewhere)),
        ...targets.flatMap((both) => crossNotes(both[0]!, elsewhere)),
        ...targets.flatMap(toeNotes),
        ...targets.slice(1).flatMap((both) => toeBetweenNotes(targets[0]!, both)),
        ...groundNotes(rows),
    ];
    return [...new Set(notes.map(capital))];
}
