import { groupedBy } from './groupedBy.js';
import { scatterOf } from './mixedModel.js';
import type { EffectBlock } from './predictedEffects.js';

/** What a comparison of two readers in a lot of cars has of a level in which they differ. */
export interface Compared {
    lot: number;
    comparison: number;
    /** From 0 on. */
    level: number;
    /** Of the level: 1 of the second reader, -1 of the first. */
    sign: number;
    weight: number;
    /** Second reading less first, times the weight. */
    gap: number;
}

/** What is expected beforehand (of simulated fields 1.0 to 1.6; no source), at the weight of so many cars. */
const USUAL = { effect: 1.3, cars: 4 };

/**
 * Design effect of cars on comparisons, whose readings share mountings and floors: the mean over all directions in which levels may
 * differ (Rao and Scott 1984, Annals of Statistics 12, 46-60, first-order correction; from memory). The scores of the normal equations,
 * summed by lot, are what the predicted effects leave over; the fit takes 1 / lots of them, a lot counted by its weight (Kish 1965,
 * section 11.2; from memory). At least 1.
 *
 * @param rows in an order of their values alone
 * @param errorVariance of a reading with weight 1
 */
export function comparisonDesignEffect(
    blocks: readonly EffectBlock[],
    rows: readonly Compared[],
    errorVariance: number,
): number {
    const effects = new Map(
        blocks.flatMap(({ block, effects: found }) => block.levels.map((level, at) => [level, found[at]!])),
    );
    const lots = new Map<number, { scores: Map<number, number>; weight: number }>();
    for (const sides of groupedBy(rows, ({ lot, comparison }) => `${lot} ${comparison}`)) {
        const { lot, weight, gap } = sides[0]!;
        if (!lots.has(lot)) lots.set(lot, { scores: new Map(), weight: 0 });
        const found = lots.get(lot)!;
        found.weight += weight;
        const left =
            gap - weight * sides.reduce((sum, { sign, level }) => sum + sign * effects.get(level)!, 0);
        for (const { sign, level } of sides)
            found.scores.set(level, (found.scores.get(level) ?? 0) + sign * left);
    }
    let [scatter, expected] = [0, 0];
    for (const { block, covariance } of blocks) {
        for (const [k, value] of covariance.entries()) expected += value * block.xx[k]!;
        const places = new Map(block.levels.map((level, at) => [level, at]));
        for (const { scores } of lots.values()) {
            const own = [...scores].flatMap(([level, score]) => {
                const at = places.get(level);
                return at === undefined ? [] : [[at, score] as const];
            });
            scatter += scatterOf(new Map(own), covariance, block.levels.length);
        }
    }
    let [sum, square] = [0, 0];
    for (const { weight } of lots.values()) {
        sum += weight;
        square += weight * weight;
    }
    const cars = square > 0 ? (sum * sum) / square : 1;
    const told = errorVariance * expected > 0 ? (scatter * cars) / (errorVariance * expected) : 0;
    return Math.max((told + USUAL.cars * USUAL.effect) / (cars - 1 + USUAL.cars), 1);
}
