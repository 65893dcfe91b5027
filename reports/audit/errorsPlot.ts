import type { Chart, Column, LegendEntry } from '../../src/report/blocks.js';
import { table } from '../../src/report/blocks.js';
import { paint } from '../../src/report/chart/theme.js';
import { counted } from '../../src/report/format.js';
import { capital } from '../../src/units/capital.js';
import type { Rows } from './rows.js';
import { angle } from './words.js';

type Step = Rows['errors'][number];

export const errorsLegend: LegendEntry[] = [
    { mark: 'band', paint: paint.first, label: 'settings' },
    { mark: 'band', paint: paint.second, label: 'missed at the end of the scale, on top of them' },
    { mark: 'dashed', paint: paint.ink, label: 'limits of the tolerance' },
    { mark: 'band', paint: paint.muted, label: 'bars that stand apart: all beyond 3 tolerances' },
];

const kinds = ['set', 'end of the scale'];

const columns: Column<Step>[] = [
    { title: 'tolerances', value: (row) => row.tolerances.replaceAll('-', '−') },
    { title: 'kind', value: (row) => row.kind },
    { title: 'settings', value: (row) => row.setting_count },
];

/** How the errors of one angle lie about the target; null where none was judged. */
export function errorsPlot(rows: Rows, response: Step['response']): Chart | null {
    const errors = rows.errors.filter((row) => row.response === response);
    if (errors.length === 0) return null;
    const count = errors.reduce((sum, row) => sum + row.setting_count, 0);
    const x = {
        type: 'quantitative' as const,
        title: 'reading minus target, in tolerances',
        scale: { domain: [-3.7, 3.7], nice: false },
        axis: {
            values: [-3.4, -2, -1, 0, 1, 2, 3.4],
            labelExpr: "datum.value < -3 ? '< −3' : datum.value > 3 ? '≥ 3' : format(datum.value, 'd')",
        },
    };
    const name = capital(angle[response]);
    return {
        kind: 'chart',
        title: `${name} about its target`,
        alt: `Histogram of ${counted(count, 'error')} of ${angle[response]} in steps of a quarter of the tolerance; errors beyond three tolerances are in one bar on either side, apart from the others.`,
        spec: {
            height: 200,
            layer: [
                {
                    data: { name: 'errors' },
                    mark: { type: 'bar', opacity: 0.75 },
                    encoding: {
                        x: { ...x, field: 'shown_from', bin: 'binned' },
                        x2: { field: 'shown_to' },
                        y: { field: 'setting_count', type: 'quantitative', title: 'settings', stack: 'zero' },
                        order: { field: 'kind', sort: 'descending' },
                        color: {
                            field: 'kind',
                            type: 'nominal',
                            legend: null,
                            scale: { domain: kinds, range: [paint.first, paint.second] },
                        },
                        tooltip: [
                            { field: 'tolerances' },
                            { field: 'kind' },
                            { field: 'setting_count', title: 'settings' },
                        ],
                    },
                },
                ...[-1, 1].map((limit) => ({
                    data: { name: 'errors' },
                    mark: { type: 'rule' as const, strokeDash: [4, 3], color: paint.ink, strokeWidth: 1.3 },
                    encoding: { x: { ...x, datum: limit } },
                })),
            ],
        },
        data: { errors },
        table: table(`${name}: errors in tolerances`, errors, columns),
    };
}
