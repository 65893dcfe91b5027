import {
    DOUBLE,
    type DuckDBConnection,
    DuckDBListValue,
    DuckDBScalarFunction,
    type DuckDBType,
    type DuckDBValue,
    INTEGER,
    LIST,
    listValue,
    STRUCT,
    structValue,
} from '@duckdb/node-api';
import { type Censored, censoredNormal } from './censoredNormal.js';
import { comparisonDesignEffect } from './comparisonDesignEffect.js';
import { connected } from './connected.js';
import { effectBlocks, predictedEffects } from './predictedEffects.js';
import { rankIntervals } from './rankIntervals.js';
import { reml } from './reml.js';
import { bestStepLast, cusum, ewma, movingRangeSd } from './series.js';

interface ListFunction {
    parameters: readonly DuckDBType[];
    result: DuckDBType;
    /** Lists come as arrays. */
    // biome-ignore lint/suspicious/noExplicitAny: the types are those of `parameters`
    compute: (...values: any[]) => DuckDBValue;
}

type Numbers = readonly number[];

const equations = [LIST(INTEGER), LIST(INTEGER), LIST(DOUBLE), LIST(DOUBLE)] as const;

/** Functions of lists that SQL gets from here; NULL for a NULL argument. */
const listFunctions: Readonly<Record<string, ListFunction>> = {
    ewma: {
        parameters: [LIST(DOUBLE), DOUBLE, DOUBLE],
        result: LIST(DOUBLE),
        compute: (x: Numbers, share: number, start: number) => listValue(ewma(x, share, start)),
    },
    cusum: {
        parameters: [LIST(DOUBLE), DOUBLE, DOUBLE, DOUBLE],
        result: LIST(DOUBLE),
        compute: (x: Numbers, centre: number, slack: number, side: number) =>
            listValue(cusum(x, centre, slack, side)),
    },
    moving_range_sd: {
        parameters: [LIST(DOUBLE)],
        result: DOUBLE,
        compute: (x: Numbers) => movingRangeSd(x),
    },
    best_step_last: {
        parameters: [LIST(DOUBLE), INTEGER],
        result: INTEGER,
        compute: (y: Numbers, shortest: number) => bestStepLast(y, shortest),
    },
    rank_intervals: {
        parameters: [LIST(DOUBLE), LIST(DOUBLE), DOUBLE],
        result: LIST(STRUCT({ rank_low: INTEGER, rank_high: INTEGER })),
        compute: (estimates: Numbers, variances: Numbers, alpha: number) =>
            listValue(
                rankIntervals(estimates, variances, alpha).map(({ low, high }) =>
                    structValue({ rank_low: low, rank_high: high }),
                ),
            ),
    },
    censored_normal: {
        parameters: [INTEGER, LIST(DOUBLE), LIST(DOUBLE), LIST(LIST(DOUBLE))],
        result: STRUCT({
            mean_out: DOUBLE,
            mean_aft: DOUBLE,
            var_oo: DOUBLE,
            var_oa: DOUBLE,
            var_aa: DOUBLE,
            step_count: INTEGER,
        }),
        compute: (
            count: number,
            squares: [number, number, number],
            centre: [number, number],
            censored: readonly DuckDBListValue[],
        ) => {
            const corners = censored.map(({ items }) => items as unknown as Censored);
            const found = censoredNormal(count, squares, centre, corners);
            return structValue({
                mean_out: found.out,
                mean_aft: found.aft,
                var_oo: found.oo,
                var_oa: found.oa,
                var_aa: found.aa,
                step_count: found.stepCount,
            });
        },
    },
    connected: {
        parameters: [INTEGER, LIST(INTEGER), LIST(INTEGER)],
        result: LIST(INTEGER),
        compute: (count: number, first: Numbers, second: Numbers) =>
            listValue(connected(count, first, second)),
    },
    reml: {
        parameters: [LIST(INTEGER), ...equations, DOUBLE, DOUBLE],
        result: STRUCT({
            ratio_1: DOUBLE,
            ratio_2: DOUBLE,
            error_var: DOUBLE,
            count_1: INTEGER,
            count_2: INTEGER,
        }),
        compute: (
            factors: Numbers,
            first: Numbers,
            second: Numbers,
            xx: Numbers,
            xy: Numbers,
            yy: number,
            df: number,
        ) => {
            const { ratios, errorVariance, counts } = reml(factors, { first, second, xx, xy }, yy, df);
            return structValue({
                ratio_1: ratios[0],
                ratio_2: ratios[1],
                error_var: errorVariance,
                count_1: counts[0],
                count_2: counts[1],
            });
        },
    },
    comparison_design_effect: {
        parameters: [
            ...equations,
            LIST(DOUBLE),
            DOUBLE,
            DOUBLE,
            ...[LIST(INTEGER), LIST(INTEGER), LIST(INTEGER), LIST(INTEGER), LIST(DOUBLE), LIST(DOUBLE)],
        ],
        result: DOUBLE,
        compute: (
            first: Numbers,
            second: Numbers,
            xx: Numbers,
            xy: Numbers,
            variances: Numbers,
            usedVariance: number,
            errorVariance: number,
            lots: Numbers,
            comparisons: Numbers,
            levels: Numbers,
            signs: Numbers,
            weights: Numbers,
            gaps: Numbers,
        ) => {
            const rows = lots.map((lot, i) => ({
                lot,
                comparison: comparisons[i]!,
                level: levels[i]! - 1,
                sign: signs[i]!,
                weight: weights[i]!,
                gap: gaps[i]!,
            }));
            return comparisonDesignEffect(
                effectBlocks({ first, second, xx, xy }, variances, usedVariance),
                rows,
                errorVariance,
            );
        },
    },
    predicted_effects: {
        parameters: [...equations, LIST(INTEGER), LIST(DOUBLE), DOUBLE],
        result: LIST(
            STRUCT({ effect: DOUBLE, effect_var: DOUBLE, deviation: DOUBLE, deviation_var: DOUBLE }),
        ),
        compute: (
            first: Numbers,
            second: Numbers,
            xx: Numbers,
            xy: Numbers,
            groups: Numbers,
            variances: Numbers,
            errorVariance: number,
        ) =>
            listValue(
                predictedEffects({ first, second, xx, xy }, groups, variances, errorVariance).map((one) =>
                    structValue({
                        effect: one.effect,
                        effect_var: one.effectVariance,
                        deviation: one.deviation,
                        deviation_var: one.deviationVariance,
                    }),
                ),
            ),
    },
};

/** Registers {@link listFunctions} on `connection`. */
export function registerListFunctions(connection: DuckDBConnection): void {
    for (const [name, { parameters, result, compute }] of Object.entries(listFunctions)) {
        connection.registerScalarFunction(
            DuckDBScalarFunction.create({
                name,
                returnType: result,
                parameterTypes: parameters,
                mainFunction: (_info, chunk, output) => {
                    const columns = chunk.getColumns();
                    for (let row = 0; row < chunk.rowCount; row++) {
                        const values = columns.map((column) => column[row] ?? null);
                        const items = values.map((value) =>
                            value instanceof DuckDBListValue ? value.items : value,
                        );
                        output.setItem(row, values.includes(null) ? null : compute(...items));
                    }
                    output.flush();
                },
            }),
        );
    }
}
