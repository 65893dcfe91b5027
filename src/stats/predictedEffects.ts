import { type Block, blocksOf, type NormalEquations, predictor, times } from './mixedModel.js';

interface PredictedEffect {
    effect: number;
    effectVariance: number;
    /** Effect less the average of its group, each level weighted by what the readings tell of it (its element of A); null for a group of one. */
    deviation: number | null;
    deviationVariance: number | null;
}

/** Best linear unbiased prediction of the levels of a block, and the covariance of its errors, row by row. */
export interface EffectBlock {
    block: Block;
    effects: Float64Array;
    covariance: Float64Array;
}

/** The blocks of `equations`, predicted; `variances` of the effects of each level, over 0. */
export function effectBlocks(
    equations: NormalEquations,
    variances: readonly number[],
    errorVariance: number,
): EffectBlock[] {
    return blocksOf(equations).map((block) => {
        const roots = block.levels.map((level) => Math.sqrt(variances[level]! / errorVariance));
        const covariance = predictor(block, roots).map((value) => value * errorVariance);
        const effects = times(covariance, block.xy).map((value) => value / errorVariance);
        return { block, effects, covariance };
    });
}

/**
 * Best linear unbiased prediction of the effects of all levels, with the variances of the errors of prediction (Searle, Casella
 * and McCulloch, Variance Components, 1992, chapter 7; from memory).
 *
 * @param groups number of the group of each level; a group lies within one block
 * @param variances of the effects of each level, over 0
 */
export function predictedEffects(
    equations: NormalEquations,
    groups: readonly number[],
    variances: readonly number[],
    errorVariance: number,
): PredictedEffect[] {
    const predicted: PredictedEffect[] = [];
    for (const { block, effects, covariance } of effectBlocks(equations, variances, errorVariance)) {
        const { levels, xx } = block;
        const n = levels.length;
        for (const group of new Set(levels.map((level) => groups[level]!))) {
            const members = levels.flatMap((level, i) => (groups[level] === group ? [i] : []));
            const total = members.reduce((sum, i) => sum + xx[i * n + i]!, 0);
            const shares = new Float64Array(n);
            for (const i of members) shares[i] = xx[i * n + i]! / total;
            const withMean = times(covariance, shares);
            const inner = (values: Float64Array) =>
                members.reduce((sum, i) => sum + shares[i]! * values[i]!, 0);
            const [mean, meanVariance] = [inner(effects), inner(withMean)];
            for (const i of members) {
                const effectVariance = covariance[i * n + i]!;
                const alone = members.length === 1;
                predicted[levels[i]!] = {
                    effect: effects[i]!,
                    effectVariance,
                    deviation: alone ? null : effects[i]! - mean,
                    deviationVariance: alone ? null : effectVariance - 2 * withMean[i]! + meanVariance,
                };
            }
        }
    }
    return predicted;
}
