import { programName } from '../../src/errors/programName.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, fixed, listed, percent } from '../../src/report/format.js';
import { basedAngles, basisWords } from '../../src/units/basisWords.js';
import { capital } from '../../src/units/capital.js';
import { bestRows, groupRows, type Range, type Rows } from './rows.js';
import { span } from './words.js';

/** Chassis and targets with a sentence of their own. */
const toldCount = 8;

function axis(name: string, mean: number | null, low: number | null, high: number | null): string[] {
    if (mean === null) return [];
    const range = low === null ? '' : ` (95 % of cars ${span(low, high)})`;
    return [`${fixed(mean, 1)} mm ${name}${range}`];
}

function need(row: Range): string {
    const parts = [
        ...axis('out', row.need_out_mean_mm, row.need_out_low_mm, row.need_out_high_mm),
        ...axis('aft', row.need_aft_mean_mm, row.need_aft_low_mm, row.need_aft_high_mm),
    ];
    const from = `${counted(row.corner_count, 'corner')} of ${counted(row.vehicle_count, 'car')}`;
    const notes = [
        ...(row.censored_count === 0 ? [] : [`${row.censored_count} at the end of a scale`]),
        ...(row.set_apart_count === 0 ? [] : [`${row.set_apart_count} more set apart`]),
    ];
    const behind = notes.length === 0 ? from : `${from}, ${notes.join(', ')}`;
    return parts.length === 0
        ? `No estimate from ${behind}: ${row.reason}.`
        : `Needs ${listed(parts)}, from ${behind}.`;
}

function reach(row: Range): string {
    const share = `${row.kit} ${percent(row.share_reachable)} (${percent(row.conf_low)} to ${percent(row.conf_high)})`;
    if (row.share_reachable! >= 0.95) return share;
    return row.half_length_95_mm === null
        ? `${share}, 95 % with no length of slot`
        : `${share}, 95 % from a half-length of ${fixed(row.half_length_95_mm, 1)} mm, now ${fixed(row.half_length_mm, 1)}`;
}

function group(rows: Rows, row: Range): Finding {
    const kits = bestRows(rows).filter((one) => one.group_rank === row.group_rank && one.kit !== null);
    const reached = kits.length === 0 ? '' : ` Reached in the best index: ${kits.map(reach).join('; ')}.`;
    return { about: `${row.chassis}, ${row.target}`, text: `${need(row)}${reached}` };
}

function borrowed({ fields }: Rows): Finding[] {
    const words = basisWords(fields.flatMap(basedAngles));
    if (words.length === 0) return [];
    return [{ about: 'Unsure', text: words.map((one) => `${capital(one)}.`).join(' ') }];
}

function use(rows: Rows): Finding[] {
    const kits = [...new Set(rows.plates.map((row) => row.kit))];
    const texts = kits.flatMap((kit) => {
        const ends = rows.ends.filter((row) => row.kit === kit);
        if (ends.length === 0) return [`${kit}: no corner carries it`];
        const count = Math.max(...rows.plates.filter((row) => row.kit === kit).map((row) => row.index_count));
        const idle = Array.from({ length: count }, (_, place) => place + 1).filter(
            (index) => !ends.some((row) => row.plate_index === index),
        );
        const indices = ends.filter((row, i) => row.plate_index !== ends[i - 1]?.plate_index);
        const [total, low, high] = (['index_corner_count', 'low_end_count', 'high_end_count'] as const).map(
            (name) => indices.reduce((sum, row) => sum + row[name], 0),
        );
        const unused = idle.length === 0 ? '' : `; nobody uses index ${idle.join(' or ')}`;
        return [
            `${kit}: of ${counted(total!, 'pointer')} ${low} in the lowest tenth of the scale, ${high} in the highest${unused}`,
        ];
    });
    return texts.length === 0 ? [] : [{ about: 'Use', text: `${texts.join('. ')}.` }];
}

/** What the page found, most general first. */
export function findings(rows: Rows): Finding[] {
    const groups = groupRows(rows);
    if (groups.length === 0)
        return [
            {
                text: `There is nothing to show: no front corner has a reading at a known offset and a target for its chassis. ${programName()} range says what is missing.`,
            },
        ];
    const rest = groups.length - toldCount;
    return [
        ...groups.slice(0, toldCount).map((row) => group(rows, row)),
        ...(rest > 0
            ? [
                  {
                      about: 'More',
                      text: `${counted(rest, 'other chassis and target', 'other chassis and targets')} in the tables.`,
                  },
              ]
            : []),
        ...borrowed(rows),
        ...use(rows),
    ];
}
