import { type Column, type Table, table } from '../../src/report/blocks.js';
import { fixed } from '../../src/report/format.js';
import type { Group, Rows } from './rows.js';
import { angle } from './words.js';

/** An estimate with its 95 % interval; a dash where it cannot be told. */
function ranged(value: number | null, low: number | null, high: number | null, digits: number): string {
    if (value === null || low === null || high === null) return '–';
    return `${fixed(value, digits)} (${fixed(low, digits)} to ${fixed(high, digits)})`;
}

const columns: Column<Group>[] = [
    { title: 'group', value: (row) => row.group },
    { title: 'angle', value: (row) => angle[row.response] },
    { title: 'settings', value: (row) => row.count },
    { title: 'mean error, °', value: (row) => row.mean_error_deg, digits: 3 },
    { title: 'spread, °', value: (row) => row.sd_deg, digits: 3 },
    { title: 'of it gauge', value: (row) => row.gauge_sd_deg, digits: 3 },
    {
        title: 'of it hands',
        value: (row) =>
            ranged(row.workmanship_sd_deg, row.workmanship_sd_low_deg, row.workmanship_sd_high_deg, 3),
    },
    { title: 'Cp', value: (row) => ranged(row.cp, row.cp_conf_low, row.cp_conf_high, 2) },
    { title: 'Cpk', value: (row) => ranged(row.cpk, row.cpk_conf_low, row.cpk_conf_high, 2) },
    {
        title: 'stops short, tolerances',
        value: (row) => ranged(row.short_share, row.short_conf_low, row.short_conf_high, 2),
    },
];

const single = ['camber_deg', 'caster_deg', 'toe_deg'];

/** Mean, spread and capability of the groups of one split. */
export function spreadTable(rows: Rows, split: string): Table {
    const groups = rows.groups
        .filter((row) => row.split_by === split && single.includes(row.response))
        .sort(
            (a, b) =>
                a.group.localeCompare(b.group, 'en') ||
                single.indexOf(a.response) - single.indexOf(b.response),
        );
    const about = split === 'overall' ? 'Over all' : `By ${split}`;
    return table(
        `${about}: error, spread and capability. Misses at the end of the scale and those far off are left out; 95 % intervals in brackets; a dash: too few settings.`,
        groups,
        columns,
    );
}
