import type { Spec } from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';
import type { Chart, ChartSpec } from '../blocks.js';
import { usedFields } from './fields.js';
import { missingInTooltips } from './missingInTooltips.js';
import { chartConfig, chartWidth, pictureConfig, pictureWidth } from './theme.js';

/** Rows by column: what the page carries of a plot. */
export type DataColumns = Record<string, Record<string, readonly unknown[]>>;

export interface CompiledChart {
    /** Vega, without data. */
    vega: Spec;
    data: DataColumns;
}

type Logger = NonNullable<NonNullable<Parameters<typeof compile>[1]>['logger']>;

/** The full Vega-Lite spec behind a {@link ChartSpec}. */
export function fullSpec(spec: ChartSpec, isPicture = false): TopLevelSpec {
    const look = isPicture
        ? { width: pictureWidth, config: pictureConfig }
        : { width: chartWidth, config: chartConfig };
    return { ...spec, ...look } as TopLevelSpec;
}

/** Numbers to a thousandth of the spread of their column, and to four digits at least: finer than a plot shows. */
function shortened(values: readonly unknown[]): unknown[] {
    const numbers = values.filter((value) => typeof value === 'number');
    const spread =
        numbers.reduce((most, value) => Math.max(most, value), -Infinity) -
        numbers.reduce((least, value) => Math.min(least, value), Infinity);
    const step = spread > 0 ? Number(`1e${Math.floor(Math.log10(spread / 1000))}`) : 0;
    return values.map((value) => {
        if (typeof value !== 'number' || Number.isInteger(value)) return value;
        const digits = step > 0 ? Math.ceil(Math.log10(Math.abs(value) / step)) : 6;
        return Number(value.toPrecision(Math.min(Math.max(digits, 4), 15)));
    });
}

/** Compiles a plot, as the picture of a page or as one of many, and keeps the columns that it reads. Warnings go to `logger`. */
export function compileChart(chart: Chart, logger?: Logger, isPicture = false): CompiledChart {
    const { spec: vega } = compile(fullSpec(chart.spec, isPicture), logger === undefined ? {} : { logger });
    delete vega.$schema;
    missingInTooltips(vega.marks);
    const data: DataColumns = {};
    for (const [name, fields] of usedFields(chart.spec)) {
        const rows = (chart.data[name] ?? []) as readonly Record<string, unknown>[];
        data[name] = Object.fromEntries(
            [...fields].sort().map((field) => [field, shortened(rows.map((row) => row[field] ?? null))]),
        );
    }
    return { vega, data };
}
