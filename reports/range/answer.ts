import { counted, fixed, percent } from '../../src/report/format.js';
import { kitsOf } from './picture.js';
import { bestRows, groupRows, type Range, type Rows } from './rows.js';
import { span } from './words.js';

const where = (row: Range) => `${row.chassis} at ${row.target}`;

interface Judged {
    kit: string;
    rows: Range[];
    /** The chassis and target of which it reaches least. */
    least: Range;
}

/** The kits, the one that reaches most over all chassis and targets first. */
function judgedKits(rows: Rows): Judged[] {
    const mean = (own: readonly Range[]) =>
        own.reduce((sum, row) => sum + row.share_reachable!, 0) / own.length;
    return kitsOf(rows)
        .map((kit) => {
            const own = bestRows(rows)
                .filter((row) => row.kit === kit && row.share_reachable !== null)
                .sort((a, b) => a.share_reachable! - b.share_reachable!);
            return { kit, rows: own, least: own[0]! };
        })
        .sort((a, b) => mean(b.rows) - mean(a.rows));
}

/** The kit that reaches most, and where it does not. */
export function headline(rows: Rows): string {
    const [best] = judgedKits(rows);
    if (best === undefined)
        return groupRows(rows).length === 0
            ? 'No corner tells yet where a bearing would have to go'
            : 'No kit can be judged yet on what the field needs';
    const { least } = best;
    const most = best.rows.at(-1)!.share_reachable!;
    const shares =
        least.share_reachable === most
            ? percent(most)
            : `${percent(least.share_reachable)} to ${percent(most)}`;
    const lack = least.conf_high! < 0.95 ? `; ${where(least)} lies beyond it` : '';
    return `${best.kit} reaches most, ${shares} of the corners${lack}`;
}

function need(row: Range): string[] {
    const parts = [
        ...(row.need_out_mean_mm === null
            ? []
            : [
                  `${fixed(row.need_out_mean_mm, 1)} mm out${row.need_out_low_mm === null ? '' : ` (95 % of cars ${span(row.need_out_low_mm, row.need_out_high_mm)})`}`,
              ]),
        ...(row.need_aft_mean_mm === null
            ? []
            : [
                  `${fixed(row.need_aft_mean_mm, 1)} mm aft${row.need_aft_low_mm === null ? '' : ` (${span(row.need_aft_low_mm, row.need_aft_high_mm)})`}`,
              ]),
    ];
    if (parts.length === 0) return [];
    return [
        `${where(row)} needs ${parts.join(' and ')}, from ${counted(row.corner_count, 'corner')} of ${counted(row.vehicle_count, 'car')}.`,
    ];
}

function cure(row: Range): string[] {
    const share = `${row.kit} reaches ${percent(row.share_reachable)} there (${percent(row.conf_low)} to ${percent(row.conf_high)})`;
    if (row.share_reachable! >= 0.95) return [`${share}.`];
    return row.half_length_95_mm === null
        ? [`${share}; no length of slot alone reaches 95 %.`]
        : [
              `${share}; a half-length of ${fixed(row.half_length_95_mm, 1)} mm would reach 95 %, now ${fixed(row.half_length_mm, 1)} mm.`,
          ];
}

/** What the field needs where least is reached, what would reach it, and how often a scale ends. */
export function answer(rows: Rows): string[] {
    const [best] = judgedKits(rows);
    if (best === undefined) return [];
    const groups = groupRows(rows);
    const ended = groups.reduce((sum, row) => sum + row.censored_count, 0);
    const all = groups.reduce((sum, row) => sum + row.corner_count, 0);
    return [
        ...need(best.least),
        ...cure(best.least),
        `At ${ended} of ${counted(all, 'need')} the pointer stands at the end of its scale with the target missed: they count as limits, not as values.`,
    ];
}
