import type { RowRule } from '../../src/contracts/rowRule.js';

type Row = Readonly<Record<string, unknown>>;
type Numbers = Readonly<Record<string, number | null>>;

const slot = (row: Numbers, min: string, max: string) =>
    row[min] == null ||
    row[max] == null ||
    row.mark_pitch_mm == null ||
    row.mark_pitch_mm * (row[max] - row[min]) <= 80 + 1e-6;

/** Rules that no form of words tells, by their columns: what must hold of a row, blank as null. */
const special: Record<string, (row: Numbers, words: Row) => boolean> = {
    'caster_sweep_deg caster_method': (row, { caster_method }) =>
        row.caster_sweep_deg === null || caster_method !== 'direct',
    'height_mm role': (row, { role }) => role !== 'nut' || row.height_mm !== 0,
    'distance_km laps': ({ laps, distance_km }) => distance_km !== 0 || laps == null || laps === 0,
    'thread_length_mm thread_pitch_mm': ({ thread_length_mm: length, thread_pitch_mm: pitch }) =>
        length == null || length >= (pitch ?? 1.5),
    'mark2_min mark2_max': ({ mark2_min, mark2_max }) =>
        (mark2_min == null) === (mark2_max == null) || (mark2_min ?? mark2_max) === 0,
    'mark_max mark_min mark_pitch_mm': (row) => slot(row, 'mark_min', 'mark_max'),
    'mark2_max mark2_min mark_pitch_mm': (row) => slot(row, 'mark2_min', 'mark2_max'),
    'index_step_deg index_count': ({ index_count, index_step_deg }) =>
        Array.from({ length: (index_count ?? 3) - 1 }, (_, k) => {
            const angle = (Math.abs(index_step_deg ?? 120) * (k + 1)) % 360;
            return angle > 1 - 1e-6 && angle < 359 + 1e-6;
        }).every(Boolean),
    'mark_resolution mark_min mark_max': ({ mark_resolution: part, mark_min: low, mark_max: high }) =>
        part == null || low == null || high == null || high <= low || part <= high - low + 1e-6,
};

/** Whether `row` keeps a rule, by its words where they have a form, else as written above. */
export function keeps({ rule, columns }: RowRule, row: Row): boolean {
    const numbers = row as Numbers;
    const [, lesser, greater] = /^(\w+) is no more than (\w+)$/.exec(rule) ?? [];
    if (lesser !== undefined) {
        const [low, high] = [numbers[lesser], numbers[greater!]];
        return low == null || high == null || low <= high;
    }
    const [, filled, needed] = /^where (\w+) is filled, so is (\w+)$/.exec(rule) ?? [];
    if (filled !== undefined) return row[filled] === null || row[needed!] !== null;
    return special[columns.join(' ')]!(numbers, row);
}
