import { programName } from '../../src/errors/programName.js';
import type { Finding } from '../../src/report/defineReport.js';
import { counted, fixed, listed, percent } from '../../src/report/format.js';
import { type Group, type Rows, whole } from './rows.js';
import { angle } from './words.js';

const interval = (row: Group) => `95 % interval ${percent(row.conf_low)} to ${percent(row.conf_high)}`;
const singles = ['camber_deg', 'caster_deg', 'toe_deg'] as const;

function overall(rows: Rows): Finding {
    const all = whole(rows, 'all')!;
    const { vehicle_count, first_day, last_day } = rows.totals[0]!;
    const span = first_day === null ? '' : `, ${first_day} to ${last_day}`;
    return {
        about: 'Overall',
        text: `${all.hit_count} of ${counted(all.count, 'visit')} of ${counted(vehicle_count, 'car')} hit every angle of the target as read: ${percent(all.hit_share)} (${interval(all)})${span}. ${all.in_count} are inside for sure, ${all.out_count} have an angle outside for sure, ${all.undecided_count} are too near to a limit to tell with these gauges.`,
    };
}

function trend({ months }: Rows): Finding[] {
    if (months.length < 3) return [];
    const beyond = months.filter((row) => row.state === 'beyond the limits');
    return [
        {
            about: 'Over time',
            text:
                beyond.length === 0
                    ? `No month of ${months.length} stands out: all lie within the limits of the p chart.`
                    : `Beyond the limits of the p chart: ${listed(beyond.map((row) => `${row.month} (${row.miss_count} of ${row.count} visits missed)`))}.`,
        },
    ];
}

function sources(rows: Rows): Finding[] {
    const texts = singles.flatMap((response) => {
        const causes = rows.causes.filter((row) => row.response === response);
        const total = causes.reduce((sum, row) => sum + row.setting_count, 0);
        if (total === 0) return [];
        const parts = causes.map((row) => `${row.cause} ${row.setting_count}`);
        return [`${angle[response]}, ${counted(total, 'miss', 'misses')}: ${listed(parts)}`];
    });
    if (texts.length === 0) return [];
    return [
        {
            about: 'Where misses come from',
            text: `${texts.map((text) => text.charAt(0).toUpperCase() + text.slice(1)).join('. ')}.`,
        },
    ];
}

function spread(rows: Rows): Finding[] {
    const texts = singles.flatMap((response) => {
        const row = whole(rows, response);
        if (row === undefined || row.sd_deg === null || row.cpk === null) return [];
        return [
            `${angle[response]} ${fixed(row.workmanship_sd_deg, 3)}° by the hands and ${fixed(row.gauge_sd_deg, 3)} by the gauge, Cpk ${fixed(row.cpk, 2)} (${fixed(row.cpk_conf_low, 2)} to ${fixed(row.cpk_conf_high, 2)})`,
        ];
    });
    return texts.length === 0 ? [] : [{ about: 'Spread', text: `Standard deviation of ${listed(texts)}.` }];
}

function comeBacks(rows: Rows): Finding[] {
    const all = whole(rows, 'all')!;
    if (all.come_back_count === 0) return [];
    return [
        {
            about: 'Come-backs',
            text: `${all.come_back_count} visits brought the car back within 30 days; in ${all.come_back_moved_count} of them the readings had moved, in ${all.come_back_unmoved_count} they had not. Right first time, without coming back: ${all.first_hit_count} of ${counted(all.first_count!, 'visit')} that have had their time.`,
        },
    ];
}

function toe({ totals }: Rows): Finding[] {
    const { toe_not_set_count: said, toe_looks_unset_count: looks } = totals[0]!;
    if (said + looks === 0) return [];
    const parts = [
        ...(said === 0 ? [] : [`at ${counted(said, 'corner')} the sheet says so`]),
        ...(looks === 0
            ? []
            : [`at ${counted(looks, 'corner')} toe stands where an untouched tie rod leaves it`]),
    ];
    return [
        {
            about: 'Toe not set again',
            text: `After the bearing moved toe was left as it came out: ${listed(parts)}.`,
        },
    ];
}

function order(rows: Rows): Finding[] {
    const splits = [...new Set(rows.groups.map((row) => row.split_by))].filter(
        (split) => split !== 'overall',
    );
    const groupsOf = (split: string) =>
        rows.groups.filter((row) => row.split_by === split && row.response === 'all');
    const open = splits.filter((split) => groupsOf(split).some((row) => row.rank_low !== row.rank_high));
    const free = open.filter((split) =>
        groupsOf(split).every((row, _, all) => row.rank_low === 1 && row.rank_high === all.length),
    );
    const partly = open.filter((split) => !free.includes(split));
    const sentences = [
        ...(free.length === 0
            ? []
            : [`By ${listed(free)} no order is supported: with these counts any place could be another.`]),
        ...(partly.length === 0
            ? []
            : [
                  `By ${listed(partly)} not every place is certain: the tables of the pictures say which could be others.`,
              ]),
    ];
    return open.length === 0
        ? []
        : [{ about: 'Order', text: `${sentences.join(' ')} Do not read the pictures as a ranking.` }];
}

function callBack({ cars }: Rows): Finding {
    const count = cars[0]?.car_count ?? 0;
    return {
        about: 'Call back',
        text:
            count === 0
                ? 'No car: the newest setting of every car is likelier inside than not.'
                : `${counted(count, 'car')} left with an angle outside, or likelier outside than inside; the list is at the end.`,
    };
}

/** What the page found, most general first. */
export function findings(rows: Rows): Finding[] {
    if (whole(rows, 'all') === undefined)
        return [
            {
                text: `There is nothing to judge: no install or adjust visit has an after reading with a target that gives tolerances. ${programName()} audit says what is missing.`,
            },
        ];
    return [
        overall(rows),
        ...trend(rows),
        ...sources(rows),
        ...spread(rows),
        ...comeBacks(rows),
        ...toe(rows),
        ...order(rows),
        callBack(rows),
    ];
}
