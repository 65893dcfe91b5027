import { type ChassisSlope, slopePopulation } from '../slopes/slopePopulation.js';
import { groupsBy, type TableFunction } from './batch.js';

/** How the slopes of each angle and axis differ between chassis; a row without a slope holds the prior alone. */
export const slopePopulations: TableFunction = async function* (batches) {
    for await (const group of groupsBy(batches, 'response', 'axis')) {
        const [estimates, clusterVariances, dfs, modelVariances] = [
            'estimate',
            'cluster_var',
            'df',
            'model_var',
        ].map((name) => group.values(name) as (number | null)[]);
        const slopes = estimates!.flatMap((estimate, i): ChassisSlope[] => {
            if (estimate === null) return [];
            return [
                {
                    estimate,
                    clusterVariance: clusterVariances![i]!,
                    df: dfs![i]!,
                    modelVariance: modelVariances![i]!,
                },
            ];
        });
        const prior = { mean: group.number('prior_mean'), sd: group.number('prior_sd') };
        const found = slopePopulation(slopes, prior);
        yield {
            ...group.key,
            chassis_count: found.chassisCount,
            dispersion: found.dispersion,
            model_df: found.modelDf,
            paule_mandel_mean: found.pauleMandelMean,
            paule_mandel_var: found.pauleMandelVariance,
            mean_deg_per_mm: found.mean,
            mean_var: found.meanVariance,
            between_var: found.between,
            between_df: found.betweenDf,
        };
    }
};
