import type { Chart, ChartSpec, Column } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted, percent } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import { hundred } from '../../src/units/percent.js';
import { type Group, type Rows, whole } from './rows.js';
import { angle } from './words.js';

const angles = ['camber_deg', 'caster_deg', 'toe_deg'] as const;
/** Height of the tallest column, in lanes; above it stand the words of the lane. */
const tallest = 0.66;
/** Outer edges of the picture, tolerances. */
const edge = 3.7;

function spec(drawn: readonly Group[], most: number): ChartSpec {
    const x = {
        type: 'quantitative' as const,
        title: 'reading minus target, in tolerances: ±1 is the limit',
        scale: { domain: [-edge, edge], nice: false },
        axis: {
            grid: false,
            values: [-3.4, -1, 1, 3.4],
            labelExpr:
                "datum.value < -3 ? '< −3' : datum.value > 3 ? '≥ 3' : replace(format(datum.value, 'd'), '-', '−')",
        },
    };
    const y = {
        type: 'quantitative' as const,
        axis: null,
        scale: { domain: [0, drawn.length], nice: false },
    };
    const order = `[${drawn.map(({ response }) => `'${response}'`).join(',')}]`;
    const lane = `(${drawn.length - 1} - indexof(${order}, datum.response))`;
    const text = (
        expression: string,
        place: 'left' | 'right',
        line: number,
        look: { color: string; fontWeight?: 'bold' },
    ): ChartSpec['layer'][number] => ({
        data: { name: 'groups' },
        transform: [
            { calculate: `${lane} + 1`, as: 'top' },
            { calculate: expression, as: 'words' },
        ],
        mark: { type: 'text', align: place, baseline: 'top', dy: 6 + 16 * line, fontSize: 12, ...look },
        encoding: {
            x: { ...x, datum: place === 'left' ? -edge : edge },
            y: { ...y, field: 'top' },
            text: { field: 'words' },
        },
    });
    const limit = (at: number): ChartSpec['layer'][number] => ({
        data: { name: 'groups' },
        mark: { type: 'rule', color: paint.ink, strokeWidth: 1.5, strokeDash: [6, 4] },
        encoding: { x: { ...x, datum: at } },
    });
    return {
        height: 32 + 108 * drawn.length,
        layer: [
            {
                data: { name: 'groups' },
                transform: [{ calculate: `${lane}`, as: 'foot' }],
                mark: { type: 'rule', color: paint.rule },
                encoding: { y: { ...y, field: 'foot' } },
            },
            {
                data: { name: 'errors' },
                transform: [
                    {
                        stack: 'setting_count',
                        groupby: ['response', 'shown_from'],
                        sort: [{ field: 'kind', order: 'descending' }],
                        as: ['count_low', 'count_high'],
                    },
                    { calculate: `${lane} + ${tallest} * datum.count_low / ${most}`, as: 'foot' },
                    { calculate: `${lane} + ${tallest} * datum.count_high / ${most}`, as: 'head' },
                ],
                mark: { type: 'rect', strokeWidth: 1.2 },
                encoding: {
                    x: { ...x, field: 'shown_from' },
                    x2: { field: 'shown_to' },
                    y: { ...y, field: 'foot' },
                    y2: { field: 'head' },
                    fill: {
                        condition: { test: "datum.kind === 'set'", value: paint.first },
                        value: 'var(--paper)',
                    },
                    stroke: {
                        condition: { test: "datum.kind === 'set'", value: 'var(--paper)' },
                        value: paint.second,
                    },
                    tooltip: [
                        { field: 'tolerances' },
                        { field: 'kind' },
                        { field: 'setting_count', title: 'settings' },
                    ],
                },
            },
            limit(-1),
            limit(1),
            text(
                "upper(slice(datum.response, 0, 1)) + slice(replace(datum.response, '_deg', ''), 1)",
                'left',
                0,
                { color: paint.ink, fontWeight: 'bold' },
            ),
            text("format(datum.hit_count, ',') + ' of ' + format(datum.count, ',') + ' hit'", 'left', 1, {
                color: paint.muted,
            }),
            text(
                "format(100 * datum.hit_share, '.0f') + ' % (' + format(100 * datum.conf_low, '.0f') + ' to ' + format(100 * datum.conf_high, '.0f') + ')'",
                'left',
                2,
                { color: paint.muted },
            ),
            text(
                "datum.end_of_scale_count > 0 ? format(datum.end_of_scale_count, ',') + ' at the end' : ''",
                'right',
                0,
                { color: paint.second, fontWeight: 'bold' },
            ),
            text("datum.end_of_scale_count > 0 ? 'of the scale' : ''", 'right', 1, { color: paint.second }),
        ],
    };
}

const columns: Column<Group>[] = [
    { title: 'angle', value: (row) => angle[row.response] },
    { title: 'settings', value: (row) => row.count },
    { title: 'hit', value: (row) => row.hit_count },
    { title: 'hit, %', value: (row) => hundred(row.hit_share), digits: 0 },
    { title: '95 % low', value: (row) => hundred(row.conf_low), digits: 0 },
    { title: '95 % high', value: (row) => hundred(row.conf_high), digits: 0 },
    { title: 'at the end of the scale', value: (row) => row.end_of_scale_count },
];

/** How all settings lie about their targets, one lane an angle on shared axes. */
export function picture(rows: Rows): Chart[] {
    const drawn = angles.flatMap((response) => whole(rows, response) ?? []);
    if (drawn.length === 0) return [];
    const errors = rows.errors;
    const heights = new Map<string, number>();
    for (const row of errors) {
        const key = `${row.response} ${row.shown_from}`;
        heights.set(key, (heights.get(key) ?? 0) + row.setting_count);
    }
    return [
        {
            kind: 'chart',
            title: 'Every setting about its target; hollow: missed with the pointer at the end of its scale; the outer columns hold all beyond 3',
            alt: `Histograms of the errors in tolerances on one axis, limits at plus and minus one: ${drawn
                .map(
                    (row) =>
                        `${angle[row.response]}, ${row.hit_count} of ${counted(row.count, 'setting')} hit, ${percent(row.hit_share)}`,
                )
                .join('; ')}.`,
            spec: spec(drawn, Math.max(...heights.values())),
            data: { errors, groups: drawn },
            table: table(
                `${capital(drawn.map((row) => angle[row.response]).join(', '))}: settings and hits as read`,
                drawn,
                columns,
            ),
        },
    ];
}
