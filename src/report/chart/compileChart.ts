import type { Spec } from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';
import type { Chart, ChartSpec } from '../blocks.js';
import { usedFields } from './fields.js';
import { chartConfig, chartWidth } from './theme.js';

/** Rows by column: what the page carries of a plot. */
export type DataColumns = Record<string, Record<string, unknown[]>>;

export interface CompiledChart {
    /** Vega, without data. */
    vega: Spec;
    data: DataColumns;
}

type Logger = NonNullable<NonNullable<Parameters<typeof compile>[1]>['logger']>;

/** The full Vega-Lite spec behind a {@link ChartSpec}. */
export function fullSpec(spec: ChartSpec): TopLevelSpec {
    return { ...spec, width: chartWidth, config: chartConfig } as TopLevelSpec;
}

function shorten(value: unknown): unknown {
    return typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(6)) : value;
}

/** Compiles a plot and keeps the columns that it reads, numbers to six digits. Warnings go to `logger`. */
export function compileChart(chart: Chart, logger?: Logger): CompiledChart {
    const { spec: vega } = compile(fullSpec(chart.spec), logger === undefined ? {} : { logger });
    delete vega.$schema;
    const data: DataColumns = {};
    for (const [name, fields] of usedFields(chart.spec)) {
        const rows = (chart.data[name] ?? []) as readonly Record<string, unknown>[];
        data[name] = Object.fromEntries(
            [...fields].sort().map((field) => [field, rows.map((row) => shorten(row[field]))]),
        );
    }
    return { vega, data };
}
