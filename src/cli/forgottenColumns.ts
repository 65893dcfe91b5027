import type { ForgottenRow } from '../contracts/results/forget.js';
import type { TableColumn } from './output.js';

/** Rows that people are shown; --json holds all. */
const SHOWN_ROWS = 50;

export const forgottenColumns: TableColumn<ForgottenRow>[] = [
    { title: 'where', value: ({ file, line }) => `${file}:${line}` },
    { title: 'load', value: 'load_id', digits: 0 },
    { title: 'kind', value: 'kind' },
    { title: 'row', value: 'key' },
    {
        title: 'becomes',
        value: ({ status, taken_by }) => (taken_by === undefined ? status : `${status} by ${taken_by}`),
    },
];

export function shownRows<R>(rows: readonly R[], json = false): readonly R[] {
    return json ? rows : rows.slice(0, SHOWN_ROWS);
}

/** How many rows are left out for people, as a note. */
export function leftOut(rows: readonly unknown[], json = false): number {
    return json ? 0 : Math.max(0, rows.length - SHOWN_ROWS);
}
