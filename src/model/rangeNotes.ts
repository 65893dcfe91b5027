import { z } from 'zod';
import type { RangeRow } from '../contracts/results/range.js';
import type { Database } from '../db/database.js';
import { programName } from '../errors/programName.js';
import { counted } from '../errors/words.js';
import { capital } from '../units/capital.js';
import { percent } from '../units/percent.js';
import { plain } from '../units/plain.js';
import { signed } from '../units/signed.js';
import { borrowedNotes } from './borrowedNotes.js';
import type { RangeQuestion } from './range.js';

/** Chassis and targets that get sentences of their own. */
const toldCount = 8;
const millimetres = (value: number) => signed(value, 1);

function axis(row: RangeRow, name: 'out' | 'aft'): string | null {
    const mean = row[`need_${name}_mean_mm`];
    if (mean === null) return null;
    const [low, high] = [row[`need_${name}_low_mm`], row[`need_${name}_high_mm`]];
    const range = low === null || high === null ? '' : ` (${millimetres(low)} to ${millimetres(high)})`;
    return `${millimetres(mean)} mm ${name}${range}`;
}

function needs(row: RangeRow): string {
    const parts = [axis(row, 'out'), axis(row, 'aft')].filter((part) => part !== null);
    const from = `${counted(row.corner_count, 'corner')} of ${counted(row.vehicle_count, 'car')}`;
    const ends =
        row.censored_count === 0
            ? ''
            : `; ${row.censored_count} of them at the end of a scale and known only as beyond it`;
    const gap = row.reason === null ? '' : ` ${parts.length === 0 ? row.reason : capital(row.reason)}.`;
    const apart =
        row.set_apart_count === 0
            ? ''
            : ` ${counted(row.set_apart_count, 'corner')} left out as far from the others; ${programName()} check says what may be wrong.`;
    return parts.length === 0
        ? `${row.chassis}, ${row.target}: no estimate from ${from}:${gap}${apart}`
        : `${row.chassis}, ${row.target}: needs ${parts.join(' and ')}, from ${from}${ends}.${gap}${apart}`;
}

function reach(best: RangeRow): string {
    const length = best.half_length_95_mm;
    const slot =
        length === null
            ? 'no length of slot reaches 95 % with its middle and direction as they are'
            : `95 % would take a half-length of ${plain(length, 1)} mm (now ${plain(best.half_length_mm!, 1)})`;
    return `${best.kit} reaches ${percent(best.share_reachable!)} in the best index (95 % interval ${percent(best.conf_low!)} to ${percent(best.conf_high!)}); ${slot}.`;
}

function needSentences(rows: readonly RangeRow[]): string[] {
    const groups = new Map<string, RangeRow[]>();
    for (const row of rows.filter((one) => one.plate_index === null)) {
        const key = JSON.stringify([row.chassis, row.target]);
        groups.set(key, [...(groups.get(key) ?? []), row]);
    }
    const told = [...groups.values()].slice(0, toldCount).map((best) => {
        const kits = best.filter((row) => row.share_reachable !== null).map(reach);
        return [needs(best[0]!), ...kits].join(' ');
    });
    const rest = groups.size - told.length;
    return rest > 0 ? [...told, `${rest} more in the rows; --chassis and --target narrow them down.`] : told;
}

/** Per kit: what it reaches over the chassis, where least, and what slot would reach 95 % there. */
function kitAnswers(rows: readonly RangeRow[]): string[] {
    const best = rows.filter((row) => row.plate_index === null && row.share_reachable !== null);
    return [...new Set(best.map((row) => row.kit!))].map((kit) => {
        const own = best.filter((row) => row.kit === kit);
        const shares = [...new Set(own.map((row) => row.target))].map((target) => {
            const those = own.filter((row) => row.target === target);
            const corners = those.reduce((sum, row) => sum + row.corner_count, 0);
            const reached = those.reduce((sum, row) => sum + row.share_reachable! * row.corner_count, 0);
            return `${percent(reached / corners)} of ${corners} corners for ${target}`;
        });
        const least = own.reduce((a, b) => (b.share_reachable! < a.share_reachable! ? b : a));
        const lengths = own.map((row) => row.half_length_95_mm ?? Number.POSITIVE_INFINITY);
        const longest = Math.max(...lengths);
        const slot = Number.isFinite(longest)
            ? `95 % everywhere would take a half-length of slot of ${plain(longest, 1)} mm (now ${plain(least.half_length_mm!, 1)})`
            : `no length of slot reaches 95 % on ${own[lengths.indexOf(longest)]!.chassis}`;
        return `${kit} reaches ${shares.join(', ')}; least on ${least.chassis} for ${least.target}, ${percent(least.share_reachable!)}; ${slot}.`;
    });
}

/** The answers that come first, with the bolt positions that nobody uses. */
export function rangeAnswers(rows: readonly RangeRow[]): string[] {
    const idle = [...usedIndices(rows)].flatMap(([kit, indices]) => {
        const unused = [...indices].filter(([, one]) => one.own + one.other === 0).map(([index]) => index);
        return unused.length === 0 ? [] : [`${kit} index ${unused.join(' and ')}`];
    });
    const told =
        idle.length === 0 ? 'Every index of these kits is in use.' : `Nobody uses ${idle.join(', ')}.`;
    return [...kitAnswers(rows), ...(rows.some(({ plate_index }) => plate_index !== null) ? [told] : [])];
}

function fewCars(rows: readonly RangeRow[]): string[] {
    const short = [
        ...new Set(
            rows
                .filter((row) => row.need_out_low_mm !== null || row.need_aft_low_mm !== null)
                .filter((row) => row.free_count_needed !== null && row.vehicle_count < row.free_count_needed)
                .map((row) => row.chassis),
        ),
    ];
    return short.length === 0
        ? []
        : [
              `Too few cars for a distribution-free interval (${rows[0]!.free_count_needed} are needed): ${short.join(', ')}. There the interval leans on a normal distribution.`,
          ];
}

/** Per kit, the chassis, target and index on which its marks are coarsest for the tolerance. */
function marks(rows: readonly RangeRow[]): string[] {
    const coarsest = new Map<string, RangeRow>();
    for (const row of rows) {
        if (row.kit === null || row.mark_pitch_useful_mm === null) continue;
        const known = coarsest.get(row.kit);
        if (known === undefined || row.mark_pitch_useful_mm < known.mark_pitch_useful_mm!)
            coarsest.set(row.kit, row);
    }
    return [...coarsest.values()].map((row) => {
        const worth = `${row.mark_step_deg!.toFixed(2)} deg of camber and ${row.mark_step_caster_deg!.toFixed(2)} deg of caster`;
        const fine = row.mark_pitch_useful_mm! >= row.mark_pitch_mm!;
        return `${row.kit}: a mark of ${plain(row.mark_pitch_mm!, 2)} mm is coarsest for ${row.target} on ${row.chassis} in index ${row.plate_index}, where one of the first scale is worth ${worth}; there the coarsest useful pitch is ${plain(row.mark_pitch_useful_mm!, 1)} mm${fine ? '' : ', so set it between the marks'}.`;
    });
}

interface Use {
    own: number;
    other: number;
    low: number;
    high: number;
}

/** Corners per kit and index over the chassis; each chassis counts once, whatever the targets. */
function usedIndices(rows: readonly RangeRow[]): Map<string, Map<number, Use>> {
    const seen = new Set<string>();
    const kits = new Map<string, Map<number, Use>>();
    for (const row of rows) {
        if (row.kit === null || row.plate_index === null) continue;
        const key = JSON.stringify([row.chassis, row.kit, row.plate_index, row.plate_hand]);
        if (seen.has(key)) continue;
        seen.add(key);
        const indices = kits.get(row.kit) ?? new Map<number, Use>();
        kits.set(row.kit, indices);
        const use = indices.get(row.plate_index) ?? { own: 0, other: 0, low: 0, high: 0 };
        indices.set(row.plate_index, use);
        use[row.plate_hand!] += row.used_count!;
        use.low += row.low_end_count!;
        use.high += row.high_end_count!;
    }
    return kits;
}

function use(rows: readonly RangeRow[]): string[] {
    return [...usedIndices(rows)].flatMap(([kit, indices]) => {
        const all = [...indices];
        const other = all.reduce((sum, [, one]) => sum + one.other, 0);
        const total = all.reduce((sum, [, one]) => sum + one.own, other);
        if (total === 0) return [`${kit}: nobody has it fitted here.`];
        const piled = all.filter(([, { own, other, low, high }]) => {
            const ends = Math.max(low, high);
            return own + other >= 5 && ends > 0.3 * (own + other);
        });
        return [
            ...(other === 0
                ? []
                : [`${kit}: the other hand's plate sits on ${other} of ${counted(total, 'corner')}.`]),
            ...piled.map(
                ([index, { own, other, low, high }]) =>
                    `${kit}, index ${index}: of ${own + other} pointers ${low} in the lowest tenth of the scale, ${high} in the highest.`,
            ),
        ];
    });
}

const gap = z.object({ chassis: z.string(), corner_count: z.int() });

async function leftOut(db: Database, { chassis, target }: RangeQuestion): Promise<string[]> {
    const parameters = { chassis: chassis ?? null, target: target ?? null };
    const gaps = await db.rows(
        gap,
        `select present_corners.chassis, count(*) as corner_count
        from present_corners
        inner join chassis_targets using (chassis)
        left join needed_offsets using (vehicle, corner, target)
        where needed_offsets.vehicle is null and coalesce(goal_camber_deg, goal_caster_deg) is not null
            and ($chassis::varchar is null or present_corners.chassis = $chassis) and ($target::varchar is null or chassis_targets.target = $target)
        group by present_corners.chassis order by 1`,
        parameters,
    );
    return [
        ...(await borrowedNotes(db, { chassis, target })),
        ...gaps.map(
            (row) =>
                `${row.chassis}: ${counted(row.corner_count, 'case')} of a corner and a target left out, because no state has a known offset and every angle that the target names.`,
        ),
    ];
}

/** What a reader of the ranges must know, as sentences, most general first. */
export async function rangeNotes(
    db: Database,
    rows: readonly RangeRow[],
    question: RangeQuestion,
): Promise<string[]> {
    if (rows.length === 0)
        return [
            'No front corner has a reading at a known offset and a target for its chassis.',
            ...(await leftOut(db, question)),
        ];
    return [
        ...rangeAnswers(rows),
        ...needSentences(rows),
        ...fewCars(rows),
        ...marks(rows),
        ...use(rows),
        'Cars come here by themselves: who fits such a kit and writes readings down is not the whole field.',
        ...(await leftOut(db, question)),
    ];
}
