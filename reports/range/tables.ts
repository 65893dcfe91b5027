import { programName } from '../../src/errors/programName.js';
import { type Column, type Table, table } from '../../src/report/blocks.js';
import { hundred } from '../../src/units/percent.js';
import { bestRows, groupRows, type Range, type Rows } from './rows.js';

/** The columns that hold something. */
function filled(columns: readonly Column<Range>[], rows: readonly Range[]): Column<Range>[] {
    return columns.filter((column) => rows.some((row) => column.value(row) !== null));
}

const needColumns: Column<Range>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'target', value: (row) => row.target },
    { title: 'corners', value: (row) => row.corner_count },
    { title: 'cars', value: (row) => row.vehicle_count },
    { title: 'at the end', value: (row) => row.censored_count },
    { title: 'set apart', value: (row) => row.set_apart_count },
    { title: 'out, mean', value: (row) => row.need_out_mean_mm, digits: 1 },
    { title: 'sd', value: (row) => row.need_out_sd_mm, digits: 1 },
    { title: '95 % of cars from', value: (row) => row.need_out_low_mm, digits: 1 },
    { title: 'to', value: (row) => row.need_out_high_mm, digits: 1 },
    { title: 'distribution-free from', value: (row) => row.need_out_free_low_mm, digits: 1 },
    { title: 'to', value: (row) => row.need_out_free_high_mm, digits: 1 },
    { title: 'aft, mean', value: (row) => row.need_aft_mean_mm, digits: 1 },
    { title: 'sd', value: (row) => row.need_aft_sd_mm, digits: 1 },
    { title: '95 % of cars from', value: (row) => row.need_aft_low_mm, digits: 1 },
    { title: 'to', value: (row) => row.need_aft_high_mm, digits: 1 },
    { title: 'distribution-free from', value: (row) => row.need_aft_free_low_mm, digits: 1 },
    { title: 'to', value: (row) => row.need_aft_free_high_mm, digits: 1 },
    { title: 'why not', value: (row) => row.reason },
];

/** Needed offsets per chassis and target. */
export function needsTable(rows: Rows): Table {
    const groups = groupRows(rows);
    const cars = groups[0]?.free_count_needed ?? 93;
    return table(
        `Needed offset, mm: mean, spread, and the range that holds 95 % of cars with 95 % confidence; without assuming a normal distribution from ${cars} cars on`,
        groups,
        filled(needColumns, groups),
    );
}

const reachColumns: Column<Range>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'target', value: (row) => row.target },
    { title: 'kit', value: (row) => row.kit },
    { title: 'reached, %', value: (row) => hundred(row.share_reachable), digits: 0 },
    { title: '95 % low', value: (row) => hundred(row.conf_low), digits: 0 },
    { title: '95 % high', value: (row) => hundred(row.conf_high), digits: 0 },
    { title: 'half-length, mm', value: (row) => row.half_length_mm, digits: 1 },
    { title: 'for 90 %', value: (row) => row.half_length_90_mm, digits: 1 },
    { title: 'at most', value: (row) => row.half_length_90_high_mm, digits: 1 },
    { title: 'for 95 %', value: (row) => row.half_length_95_mm, digits: 1 },
    { title: 'at most', value: (row) => row.half_length_95_high_mm, digits: 1 },
    { title: 'for 99 %', value: (row) => row.half_length_99_mm, digits: 1 },
    { title: 'at most', value: (row) => row.half_length_99_high_mm, digits: 1 },
    { title: 'corners that carry it', value: (row) => row.used_count },
];

/** Chassis and targets in the longer tables. */
const listedCount = 6;

/** What each kit reaches in its best index, and the least slots. */
export function reachTable(rows: Rows): Table {
    const shown = bestRows(rows).filter((row) => row.kit !== null && row.group_rank <= listedCount);
    return table(
        `Share reached in the best index, and the least half-length of the slot for 90, 95 and 99 % of the corners, its middle and direction as they are; a dash: no length does, or the corners are too few to say (at most: upper end of the 95 % interval)${more(rows)}`,
        shown,
        filled(reachColumns, shown),
    );
}

function more({ ranges }: Rows): string {
    const all = ranges[0]?.group_count ?? 0;
    return all > listedCount
        ? `. The first ${listedCount} of ${all} chassis and targets; ${programName()} range gives all`
        : '';
}

const indexColumns: Column<Range>[] = [
    { title: 'chassis', value: (row) => row.chassis },
    { title: 'target', value: (row) => row.target },
    { title: 'kit', value: (row) => row.kit },
    { title: 'index', value: (row) => row.plate_index },
    { title: 'hand', value: (row) => row.plate_hand },
    { title: 'reached, %', value: (row) => hundred(row.share_reachable), digits: 0 },
    { title: '95 % low', value: (row) => hundred(row.conf_low), digits: 0 },
    { title: '95 % high', value: (row) => hundred(row.conf_high), digits: 0 },
    { title: 'a mark, mm', value: (row) => row.mark_pitch_mm, digits: 2 },
    { title: 'camber, °', value: (row) => row.mark_step_deg, digits: 2 },
    { title: 'caster, °', value: (row) => row.mark_step_caster_deg, digits: 2 },
    { title: 'coarsest useful, mm', value: (row) => row.mark_pitch_useful_mm, digits: 1 },
    { title: 'used by', value: (row) => row.used_count },
    { title: 'lowest tenth', value: (row) => row.low_end_count },
    { title: 'highest tenth', value: (row) => row.high_end_count },
];

/** Each index and hand: share, what a mark is worth, and use. */
export function indexTable(rows: Rows): Table {
    const shown = rows.ranges.filter((row) => row.plate_index !== null && row.group_rank <= listedCount / 2);
    return table(
        `Each index and hand: share reached, what one mark is worth, and corners that sit so now. The first ${listedCount / 2} chassis and targets; ${programName()} range --json gives all`,
        shown,
        filled(indexColumns, shown),
    );
}
