import { DOUBLE, type DuckDBConnection, DuckDBScalarFunction } from '@duckdb/node-api';
import { betaCdf, betaQuantile } from './beta.js';
import { bivariateNormalCdf, bivariateNormalRectangle } from './bivariateNormal.js';
import { chiSquareCdf, chiSquareQuantile } from './chiSquare.js';
import { fCdf, fQuantile } from './fisherF.js';
import type { DoubleFunction } from './library.js';
import { registerListFunctions } from './listFunctions.js';
import { sharedRounding } from './measurement/sharedRounding.js';
import { normalCdf, normalQuantile } from './normal.js';
import { registerSearches } from './settingFunctions.js';
import { tCdf, tQuantile } from './studentT.js';
import { toleranceFactor } from './toleranceFactor.js';

/** The functions that SQL gets from here; all arguments and results are DOUBLE, arguments in the order of the signature. */
export const sqlFunctions: Readonly<Record<string, DoubleFunction>> = {
    t_quantile: tQuantile,
    t_cdf: tCdf,
    chi2_quantile: chiSquareQuantile,
    chi2_cdf: chiSquareCdf,
    f_quantile: fQuantile,
    f_cdf: fCdf,
    normal_quantile: normalQuantile,
    normal_cdf: normalCdf,
    beta_quantile: betaQuantile,
    beta_cdf: betaCdf,
    bivariate_normal_cdf: bivariateNormalCdf,
    bivariate_normal_rectangle: bivariateNormalRectangle,
    shared_rounding: sharedRounding,
    tolerance_factor: toleranceFactor,
};

/**
 * Registers {@link sqlFunctions}, and those of lists and settings, on `connection`: NULL for a NULL or NaN argument, outside the domain, and where the value is
 * not finite (the t quantile at p = 1); never NaN or infinity.
 */
export function registerStatistics(connection: DuckDBConnection): void {
    registerListFunctions(connection);
    registerSearches(connection);
    for (const [name, compute] of Object.entries(sqlFunctions)) {
        connection.registerScalarFunction(
            DuckDBScalarFunction.create({
                name,
                returnType: DOUBLE,
                parameterTypes: Array.from({ length: compute.length }, () => DOUBLE),
                specialHandling: true,
                mainFunction: (_info, chunk, output) => {
                    const columns = chunk.getColumns() as (number | null)[][];
                    for (let row = 0; row < chunk.rowCount; row++) {
                        const values = columns.map((column) => column[row] ?? Number.NaN);
                        const value = values.some(Number.isNaN) ? null : compute(...values);
                        output.setItem(row, Number.isFinite(value) ? value : null);
                    }
                    output.flush();
                },
            }),
        );
    }
}
