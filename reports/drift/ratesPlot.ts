import type { Chart, ChartSpec, Table } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { nameAxis } from '../../src/report/chart/nameAxis.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import type { Rows } from './rows.js';

type Rate = Rows['rates'][number];

const factorNames: Readonly<Record<string, string>> = {
    all: '',
    surface: 'surface',
    kit: 'kit',
    bearing: 'bearing',
    plate_index: 'bolt position',
};

function spec(rows: readonly Rate[], per: 'per_session' | 'per_100_km', title: string): ChartSpec {
    const names = [...new Set(rows.map((row) => row.name))];
    const x = { type: 'quantitative' as const, title, scale: { zero: true } };
    const y = {
        field: 'name',
        type: 'nominal' as const,
        title: null,
        sort: names,
        scale: { domain: names },
        axis: nameAxis(124),
    };
    const tooltip = [
        { field: 'name', title: 'where' },
        { field: 'corner_session_count', title: 'corner sessions' },
        { field: 'expected_slip_count', title: 'expected slips', format: '.1f' },
        { field: per, title: 'rate', format: '.3f' },
        { field: `${per}_low`, title: '95 % low', format: '.3f' },
        { field: `${per}_high`, title: '95 % high', format: '.3f' },
    ];
    return {
        height: 48 + 28 * names.length,
        layer: [
            {
                data: { name: 'rates' },
                mark: { type: 'rule', strokeWidth: 1.6, color: paint.first },
                encoding: { y, x: { ...x, field: `${per}_low` }, x2: { field: `${per}_high` }, tooltip },
            },
            {
                data: { name: 'rates' },
                mark: { type: 'point', filled: true, opacity: 1, size: 46, color: paint.first },
                encoding: { y, x: { ...x, field: per }, tooltip },
            },
        ],
    };
}

function ratesTable(rows: readonly Rate[]): Table {
    return table('Slips per corner session and per 100 km, with 95 % intervals', rows, [
        { title: 'by', value: (row) => factorNames[row.factor] ?? row.factor },
        { title: 'where', value: (row) => row.name },
        { title: 'corner sessions', value: (row) => row.corner_session_count },
        { title: 'slips named', value: (row) => row.slip_count },
        { title: 'unclear', value: (row) => row.unclear_count },
        { title: 'expected slips', value: (row) => row.expected_slip_count, digits: 1 },
        { title: 'per session', value: (row) => row.per_session, digits: 3 },
        { title: 'low', value: (row) => row.per_session_low, digits: 3 },
        { title: 'high', value: (row) => row.per_session_high, digits: 3 },
        { title: 'corner km', value: (row) => row.corner_km, digits: 0 },
        { title: 'per 100 km', value: (row) => row.per_100_km, digits: 3 },
        { title: 'low', value: (row) => row.per_100_km_low, digits: 3 },
        { title: 'high', value: (row) => row.per_100_km_high, digits: 3 },
    ]);
}

/** How often plates slip, per session and, where distances are known, per 100 km. */
export function ratesPlots({ rates }: Rows): Chart[] {
    if (rates.length === 0) return [];
    const perKm = rates.filter((row) => row.per_100_km !== null);
    const about = counted(rates.length, 'group');
    const session: Chart = {
        kind: 'chart',
        title: 'Slips per corner session',
        alt: `Expected slips per corner session with 95 % intervals for ${about}.`,
        spec: spec(rates, 'per_session', 'slips per corner session'),
        data: { rates },
        table: ratesTable(rates),
    };
    if (perKm.length === 0) return [session];
    return [
        session,
        {
            kind: 'chart',
            title: 'Slips per 100 km of a corner',
            alt: `Expected slips per 100 kilometres with 95 % intervals for ${about}.`,
            spec: spec(perKm, 'per_100_km', 'slips per 100 km'),
            data: { rates: perKm },
            table: ratesTable(perKm),
        },
    ];
}

/** Pairs of levels compared; null where there is nothing to compare. */
export function contrastsTable({ contrasts }: Rows): Table | null {
    if (contrasts.length === 0) return null;
    return table('Rates compared', contrasts, [
        { title: 'by', value: (row) => factorNames[row.factor] ?? row.factor },
        { title: 'this', value: (row) => row.name },
        { title: 'over that', value: (row) => row.other_name },
        { title: 'ratio of rates', value: (row) => row.rate_ratio, digits: 2 },
        { title: '95 % low', value: (row) => row.ratio_low, digits: 2 },
        { title: '95 % high', value: (row) => row.ratio_high, digits: 2 },
        { title: 'p value', value: (row) => row.p_value, digits: 3 },
        { title: 'p value, adjusted', value: (row) => row.p_adjusted_fdr, digits: 3 },
    ]);
}
