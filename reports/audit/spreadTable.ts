import { type Column, type Table, table } from '../../src/report/blocks.js';
import type { Group, Rows } from './rows.js';
import { angle } from './words.js';

const columns: Column<Group>[] = [
    { title: 'group', value: (row) => row.group },
    { title: 'angle', value: (row) => angle[row.response] },
    { title: 'settings', value: (row) => row.count },
    { title: 'mean error, deg', value: (row) => row.mean_error_deg, digits: 3 },
    { title: 'spread, deg', value: (row) => row.sd_deg, digits: 3 },
    { title: 'of it gauge', value: (row) => row.gauge_sd_deg, digits: 3 },
    { title: 'of it hands', value: (row) => row.workmanship_sd_deg, digits: 3 },
    { title: '95 % low', value: (row) => row.workmanship_sd_low_deg, digits: 3 },
    { title: '95 % high', value: (row) => row.workmanship_sd_high_deg, digits: 3 },
    { title: 'Cp', value: (row) => row.cp, digits: 2 },
    { title: 'Cpk', value: (row) => row.cpk, digits: 2 },
    { title: '95 % low', value: (row) => row.cpk_conf_low, digits: 2 },
    { title: '95 % high', value: (row) => row.cpk_conf_high, digits: 2 },
    { title: 'stops short, tolerances', value: (row) => row.short_share, digits: 2 },
    { title: '95 % low', value: (row) => row.short_conf_low, digits: 2 },
    { title: '95 % high', value: (row) => row.short_conf_high, digits: 2 },
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
        `${about}: error, spread and capability. Misses at the end of the scale and those far off are left out; a dash: too few settings.`,
        groups,
        columns,
    );
}
