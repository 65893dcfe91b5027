import { likelyVariances, type OwnSlopes, type Populations, shrunkSlopes } from '../slopes/shrunkSlopes.js';
import type { Rank } from '../slopes/slopeEstimate.js';
import { rowsOf, type TableFunction, type Value } from './batch.js';

const pair = (row: Record<string, Value>, name: string) => ({
    out: row[`${name}_out`] as number,
    aft: row[`${name}_aft`] as number,
});

function populationsOf(row: Record<string, Value>): Populations {
    return {
        mean: pair(row, 'mean_deg_per_mm'),
        meanVariance: pair(row, 'mean_var'),
        between: {
            out: likelyVariances(row.between_var_out as number, row.between_df_out as number | null),
            aft: likelyVariances(row.between_var_aft as number, row.between_df_aft as number | null),
        },
        dispersion: pair(row, 'dispersion'),
        modelDf: pair(row, 'model_df'),
    };
}

function ownOf(row: Record<string, Value>): OwnSlopes | null {
    if (row.rank === null) return null;
    return {
        rank: row.rank as Rank,
        slope: pair(row, 'slope'),
        variance: {
            oo: row.var_out as number | null,
            oa: row.cov_out_aft as number | null,
            aa: row.var_aft as number | null,
        },
        df: pair(row, 'df'),
        xx: { oo: row.xx_oo as number, oa: row.xx_oa as number, aa: row.xx_aa as number },
        xy: { out: row.xy_o as number, aft: row.xy_a as number },
        noiseVariance: row.noise_var_deg2 as number,
    };
}

/** Shrunken slopes of each chassis and angle. */
export const slopesShrunk: TableFunction = async function* (batches) {
    const populations = new Map<Value, Populations>();
    for await (const row of rowsOf(batches)) {
        if (!populations.has(row.response!)) populations.set(row.response!, populationsOf(row));
        const { slope, variance } = shrunkSlopes(ownOf(row), populations.get(row.response!)!);
        yield {
            chassis: row.chassis!,
            response: row.response!,
            slope_out: slope.out,
            slope_aft: slope.aft,
            var_out: variance.oo,
            var_aft: variance.aa,
            cov_out_aft: variance.oa,
            move_count: row.move_count!,
        };
    }
};
