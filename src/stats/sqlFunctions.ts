import { DOUBLE, type DuckDBConnection, DuckDBScalarFunction } from '@duckdb/node-api';
import { bivariateNormalCdf, bivariateNormalRectangle } from './bivariateNormal.js';
import {
    betaCdf,
    betaQuantile,
    chisquareCdf,
    chisquareQuantile,
    fCdf,
    fQuantile,
    normalCdf,
    normalQuantile,
    tCdf,
    tQuantile,
} from './distributions.js';
import { toleranceFactor } from './toleranceFactor.js';

type DoubleFunction = (...values: number[]) => number;

/** Name, number of arguments and meaning of every function that SQL gets from here; all arguments and results are DOUBLE. */
export const sqlFunctions: Readonly<Record<string, readonly [number, DoubleFunction]>> = {
    /** t_quantile(p, df), df > 0 need not be whole. */
    t_quantile: [2, (p, df) => tQuantile(p!, df!)],
    t_cdf: [2, (x, df) => tCdf(x!, df!)],
    chi2_quantile: [2, (p, df) => chisquareQuantile(p!, df!)],
    chi2_cdf: [2, (x, df) => chisquareCdf(x!, df!)],
    /** f_quantile(p, numerator df, denominator df). */
    f_quantile: [3, (p, df1, df2) => fQuantile(p!, df1!, df2!)],
    f_cdf: [3, (x, df1, df2) => fCdf(x!, df1!, df2!)],
    normal_quantile: [1, (p) => normalQuantile(p!)],
    normal_cdf: [1, (x) => normalCdf(x!)],
    /** beta_quantile(p, alpha, beta). */
    beta_quantile: [3, (p, a, b) => betaQuantile(p!, a!, b!)],
    beta_cdf: [3, (x, a, b) => betaCdf(x!, a!, b!)],
    /** bivariate_normal_cdf(x, y, correlation). */
    bivariate_normal_cdf: [3, (x, y, r) => bivariateNormalCdf(x!, y!, r!)],
    /** bivariate_normal_rectangle(low x, high x, low y, high y, correlation), standardised limits. */
    bivariate_normal_rectangle: [5, (a, b, c, d, r) => bivariateNormalRectangle(a!, b!, c!, d!, r!)],
    /** tolerance_factor(n, df, coverage, confidence): two-sided normal tolerance factor. */
    tolerance_factor: [4, (n, df, coverage, confidence) => toleranceFactor(n!, coverage!, confidence!, df!)],
};

/** Registers {@link sqlFunctions} on `connection`: NULL for a NULL argument and outside the domain, never NaN. */
export function registerStatistics(connection: DuckDBConnection): void {
    for (const [name, [arity, compute]] of Object.entries(sqlFunctions)) {
        connection.registerScalarFunction(
            DuckDBScalarFunction.create({
                name,
                returnType: DOUBLE,
                parameterTypes: Array.from({ length: arity }, () => DOUBLE),
                specialHandling: true,
                mainFunction: (_info, chunk, output) => {
                    const columns = Array.from(
                        { length: arity },
                        (_, index) => chunk.getColumnValues(index) as (number | null)[],
                    );
                    for (let row = 0; row < chunk.rowCount; row++) {
                        const values = columns.map((column) => column[row] ?? Number.NaN);
                        const value = values.some(Number.isNaN) ? Number.NaN : compute(...values);
                        output.setItem(row, Number.isNaN(value) ? null : value);
                    }
                    output.flush();
                },
            }),
        );
    }
}
