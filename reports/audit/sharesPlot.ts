import type { Chart, ChartSpec, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { nameAxis } from '../../src/report/chart/nameAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import { hundred } from '../../src/units/percent.js';
import type { Group, Rows } from './rows.js';
import { angle } from './words.js';

export const sharesLegend: LegendEntry[] = [
    { mark: 'circle', paint: paint.first, label: 'share of hits as read, 95 % Wilson interval' },
    {
        mark: 'diamond',
        paint: paint.second,
        label: 'shrunken share without misses at the end of the scale, 95 % interval',
    },
];

/** Groups that one plot shows. */
const drawnCount = 24;

const x = {
    type: 'quantitative' as const,
    title: 'share of hits',
    axis: { format: '.0%', tickCount: 5 },
    scale: { domain: [0, 1], nice: false },
};
const tooltip = [
    { field: 'group' },
    { field: 'hit_count', title: 'hits' },
    { field: 'count' },
    { field: 'conf_low', title: '95 % low', format: '.0%' },
    { field: 'conf_high', title: '95 % high', format: '.0%' },
    { field: 'end_of_scale_count', title: 'missed at the end of the scale' },
];

function y(field: 'label' | 'response', order: readonly string[], offset: number) {
    return {
        field,
        type: 'nominal' as const,
        title: null,
        sort: [...order],
        scale: { domain: [...order] },
        axis: nameAxis(116),
        bandPosition: 0.5 + offset,
    };
}

function interval(
    field: 'label' | 'response',
    order: readonly string[],
    offset: number,
    [low, middle, high]: readonly [string, string, string],
    mark: { color: string; shape: string },
): ChartSpec['layer'] {
    const at = y(field, order, offset);
    return [
        {
            data: { name: 'groups' },
            mark: { type: 'rule', strokeWidth: 1.6, color: mark.color },
            encoding: { y: at, x: { ...x, field: low }, x2: { field: high }, tooltip },
        },
        {
            data: { name: 'groups' },
            mark: { type: 'point', filled: true, opacity: 1, size: 46, ...mark },
            encoding: { y: at, x: { ...x, field: middle }, tooltip },
        },
    ];
}

const asRead = ['conf_low', 'hit_share', 'conf_high'] as const;
const shrunken = ['shrunk_conf_low', 'shrunk_share', 'shrunk_conf_high'] as const;

const columns: Column<Group>[] = [
    { title: 'group', value: (row) => row.group },
    { title: 'visits', value: (row) => row.count },
    { title: 'inside', value: (row) => row.in_count },
    { title: 'outside', value: (row) => row.out_count },
    { title: 'undecided', value: (row) => row.undecided_count },
    { title: 'hits as read', value: (row) => row.hit_count },
    { title: 'share, %', value: (row) => hundred(row.hit_share), digits: 0 },
    { title: '95 % low', value: (row) => hundred(row.conf_low), digits: 0 },
    { title: '95 % high', value: (row) => hundred(row.conf_high), digits: 0 },
    { title: 'end of scale', value: (row) => row.end_of_scale_count },
    { title: 'shrunken, %', value: (row) => hundred(row.shrunk_share), digits: 0 },
    {
        title: 'place',
        value: (row) => (row.rank_low === row.rank_high ? row.rank : `${row.rank_low} to ${row.rank_high}`),
    },
];

/** Hit shares of the groups of one split, for visits as a whole; null where there is but one group. */
export function groupsPlot(rows: Rows, split: string): Chart | null {
    const groups = rows.groups.filter((row) => row.split_by === split && row.response === 'all');
    if (groups.length < 2) return null;
    // No ranking by the eye where the counts support none.
    if (!groups.some((row) => row.rank_low === row.rank_high))
        groups.sort((a, b) => a.group.localeCompare(b.group, 'en'));
    const drawn = groups.slice(0, drawnCount);
    const order = drawn.map((row) => row.label);
    return {
        kind: 'chart',
        title: `By ${split}${drawn.length < groups.length ? ` (${drawn.length} of ${groups.length})` : ''}`,
        alt: `Shares of visits that hit every angle, as read and shrunken, with 95 % intervals, for ${counted(groups.length, 'group')} by ${split}.`,
        spec: {
            height: 40 + 34 * order.length,
            layer: [
                ...interval('label', order, -0.15, asRead, { color: paint.first, shape: 'circle' }),
                ...interval('label', order, 0.15, shrunken, { color: paint.second, shape: 'diamond' }),
            ],
        },
        data: { groups: drawn },
        table: table(`Visits by ${split}`, groups, columns),
    };
}

/** Hit shares of the angles over all settings. */
export function anglesPlot(rows: Rows): Chart {
    const groups = rows.groups.filter((row) => row.split_by === 'overall');
    const order = Object.keys(angle).filter((response) => groups.some((row) => row.response === response));
    const [first, second] = interval('response', order, 0, asRead, { color: paint.first, shape: 'circle' });
    const names = Object.entries(angle).map(([name, words]) => `datum.value === '${name}' ? '${words}'`);
    const labelled = (layer: ChartSpec['layer'][number]) => {
        const at = (layer as { encoding: { y: { axis: object } } }).encoding.y;
        return {
            ...layer,
            encoding: {
                ...layer.encoding,
                y: { ...at, axis: { ...at.axis, labelExpr: `${names.join(' : ')} : datum.value` } },
            },
        } as ChartSpec['layer'][number];
    };
    return {
        kind: 'chart',
        title: 'Hits as read, by angle',
        alt: `Share of settings inside the tolerance as read, with 95 % intervals, for ${order.map((name) => angle[name as Group['response']]).join(', ')}.`,
        spec: { height: 40 + 30 * order.length, layer: [labelled(first!), labelled(second!)] },
        data: { groups },
        table: table('Hits by angle, over all', groups, [
            { title: 'angle', value: (row: Group) => capital(angle[row.response]) },
            ...columns.slice(1, 10),
        ]),
    };
}
