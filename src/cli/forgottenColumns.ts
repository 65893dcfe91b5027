import type { ForgottenRow } from '../contracts/results/forget.js';
import { moreRows } from '../errors/forgetMessages.js';
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

/** A note of rows that are left out for people. */
export function leftOut(rows: readonly unknown[], json = false): string[] {
    const hidden = rows.length - SHOWN_ROWS;
    return json || hidden <= 0 ? [] : [moreRows(hidden)];
}
