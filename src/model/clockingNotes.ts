import { z } from 'zod';
import { clockingRow } from '../contracts/results/clocking.js';
import { basis } from '../contracts/results/result.js';
import { basedAngles, basisWords } from '../units/basisWords.js';
import { cornerName } from '../units/cornerName.js';
import { costliestLimit } from '../units/limitWords.js';
import { probabilityWords } from '../units/probabilityWords.js';
import { marksWords } from '../units/settingWords.js';

/** A row of the SQL question `clocked`: the published row and what the sentences about it need besides. */
export const clockedRow = clockingRow.omit({ note: true }).extend({
    vehicle: z.string(),
    allowed: z.boolean(),
    present: z.boolean(),
    target_camber_deg: z.number().nullable(),
    camber_tol_deg: z.number().nullable(),
    target_caster_deg: z.number().nullable(),
    caster_tol_deg: z.number().nullable(),
    short_camber_deg: z.number().nullable(),
    short_caster_deg: z.number().nullable(),
    camber_basis: basis,
    caster_basis: basis,
});

export type ClockedRow = z.infer<typeof clockedRow>;

/** What a reader must know of one row. */
export function rowNote(row: ClockedRow): string {
    const shortages = (['camber', 'caster'] as const)
        .filter((angle) => (row[`short_${angle}_deg`] ?? 0) !== 0)
        .map((angle) => `${Math.abs(row[`short_${angle}_deg`]!).toFixed(2)} deg of ${angle}`);
    const parts = [
        ...(row.allowed ? [] : ['every setting loses caster']),
        ...(row.allowed && !row.reachable ? [`out of reach by ${shortages.join(' and ')}`] : []),
        ...(row.symmetrical ? ['left and right alike'] : []),
        ...(row.own_hands ? [] : ['plates swapped']),
        ...(row.present ? ['as it sits now'] : []),
    ];
    return parts.join('; ');
}

const mountChange =
    'Another mount goes in: where its bearing comes to lie is taken as unsure by 1 mm. Read all angles again after fitting, and ask advise.';

function plateWords(row: ClockedRow): string {
    return `${cornerName(row.corner)} the ${row.plate_hand} plate in index ${row.plate_index}`;
}

function kitWords(rows: readonly ClockedRow[]): string {
    const [{ kit, p_all, target }] = rows as [ClockedRow];
    const places = rows.filter((row) => row.target === target).map(plateWords);
    const spare = Math.min(...rows.map((row) => row.spare_mm)).toFixed(1);
    const caster = Math.min(...rows.map((row) => row.caster_from_original_deg));
    const kept = caster < -0.005 ? `at most ${(-caster).toFixed(2)} deg of caster lost` : 'no caster lost';
    return `${kit} (${places.join(', ')}; probability ${probabilityWords(p_all!)}, at least ${spare} mm of travel left, ${kept} against the original mount)`;
}

/**
 * What `clocking` without a kit says; `rows`: the best way of each kit, best kit first. `without`: kits that give no ends of their scales.
 */
export function comparedNotes(
    rows: readonly ClockedRow[],
    without: readonly string[],
    vehicle: string | null,
): string[] {
    if (rows.length === 0) return [];
    const ranks = [...new Set(rows.map((row) => row.rank))];
    const of = (rank: number) => rows.filter((row) => row.rank === rank);
    const reaching = ranks.filter((rank) => of(rank).every((row) => row.reachable));
    const targets = [...new Set(rows.map((row) => row.target))].join(' and ');
    const subject = vehicle ?? `the median car of ${rows[0]!.chassis}`;
    const first =
        reaching.length === 0
            ? `None of these kits brings ${subject} to ${targets}; the nearest is ${kitWords(of(1))}.`
            : `${reaching.length} of ${ranks.length} kits bring ${subject} to ${targets}: ${reaching.map((rank) => kitWords(of(rank))).join('; ')}.`;
    return [
        first,
        'Each kit is shown in its best way; --kit NAME shows all of one. What goes on the shaft is for stack to say.',
        ...(without.length === 0
            ? []
            : [`Left out, for their kits rows give no mark_min and mark_max: ${without.join(', ')}.`]),
        ...unreadNotes(rows),
        ...(rows.every((row) => row.present) ? [] : [mountChange]),
    ].map((text) => text.charAt(0).toUpperCase() + text.slice(1));
}

/** What is not known of a car whose caster was never read. */
function unreadNotes(rows: readonly ClockedRow[]): string[] {
    if (rows.every((row) => row.caster_deg !== null)) return [];
    return [
        'Caster was not read where the bearing sits now: what it comes to is not known, only what each way adds to it (--json, caster_from_original_deg).',
    ];
}

/** What `clocking` says besides its rows; `rows` in order of rank, target and corner. */
export function clockingNotes(rows: readonly ClockedRow[]): string[] {
    const best = rows.filter((row) => row.rank === 1);
    const first = best.filter((row) => row.target === best[0]!.target);
    const targets = [...new Set(best.map((row) => row.target))];
    const settings = targets.map(
        (target) =>
            `${target} at ${best
                .filter((row) => row.target === target)
                .map((row) => `${cornerName(row.corner)} ${marksWords(row)}`)
                .join(', ')}`,
    );
    const reach = best.every((row) => row.reachable)
        ? `reaches ${targets.join(' and ')}, within tolerance without reading again with a probability ${probabilityWords(best[0]!.p_all!)}`
        : 'is the nearest, but does not reach every target';
    const spare = Math.min(...best.map((row) => row.spare_mm)).toFixed(1);
    const count = new Set(rows.map((row) => row.rank)).size;
    const falling = new Set(rows.filter((row) => !row.reachable).map((row) => row.rank)).size;
    return [
        `${first.map(plateWords).join(', ')}: ${reach}; ${settings.join('; ')}; at least ${spare} mm of travel left.${best.every((row) => row.reachable) ? ` ${costliestLimit(best, best[0]!.p_all)}`.trimEnd() : ''}`,
        `${count - falling} of the ${count} ways to clock the pair reach every target. A way that is alike left and right goes ahead of one that is up to 0.05 more probable.`,
        ...(best[0]!.vehicle === ''
            ? [
                  `No car is named: the areas start from the median car of ${best[0]!.chassis} with the original mount, and the probabilities hold for another car of it.`,
              ]
            : []),
        ...basisWords(basedAngles(best[0]!)).map((words) => `${words}; the areas are less sure for it.`),
        ...unreadNotes(best),
        ...(rows.some((row) => row.present) ? [] : [mountChange]),
    ].map((text) => text.charAt(0).toUpperCase() + text.slice(1));
}
