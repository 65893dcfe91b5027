import { CUT_VARIANCE } from '../normal.js';
import { median } from '../slopes/median.js';

/** A difference of two readings, and by how much that differs on which it may depend. */
interface Difference {
    gap: number;
    variance: number;
    x: number;
    /** What shares an error: a car and visit. */
    cluster: number;
}

interface Rate {
    rate: number;
    standardError: number;
    /** Differences that count. */
    count: number;
}

/**
 * The rate through the origin of `differences` over x, weighted by their variance and that part of `added` that their scatter shows,
 * without those over 2.5 standard deviations from it; its error by cluster. Null below 8.
 */
export function rateOf(differences: readonly Difference[], added = 0): Rate | null {
    if (differences.length < 8) return null;
    // A median of the rates, each counted by its x, which moved corners cannot carry off.
    const rates = differences
        .map(({ gap, x }) => ({ rate: gap / x, weight: Math.abs(x) }))
        .sort((a, b) => a.rate - b.rate);
    const half = rates.reduce((sum, { weight }) => sum + weight, 0) / 2;
    let passed = 0;
    let rate = rates.find(({ weight }) => {
        passed += weight;
        return passed >= half;
    })!.rate;
    const spread = median(Float64Array.from(differences, ({ gap, x }) => Math.abs(gap - rate * x)))!;
    const read = median(Float64Array.from(differences, ({ variance }) => variance))!;
    const more = Math.min(added, Math.max((1.4826 * spread) ** 2 - read, 0));
    let standardError = Number.POSITIVE_INFINITY;
    let count = 0;
    for (let round = 0; round < 3; round++) {
        let [xx, xy, scatter] = [0, 0, 0];
        const scores = new Map<number, number>();
        count = 0;
        for (const { gap, variance, x, cluster } of differences) {
            const v = variance + more;
            const residual = gap - rate * x;
            if (residual * residual > 6.25 * v) continue;
            xx += (x * x) / v;
            xy += (x * gap) / v;
            scatter += (residual * residual) / v;
            scores.set(cluster, (scores.get(cluster) ?? 0) + (x * residual) / v);
            count++;
        }
        if (count < 8) return null;
        rate = xy / xx;
        const together = [...scores.values()].reduce((sum, score) => sum + score * score, 0);
        const freed = scores.size > 1 ? scores.size / (scores.size - 1) : 1;
        standardError = Math.max(
            Math.sqrt(Math.max(scatter / count / CUT_VARIANCE, 1) / xx),
            Math.sqrt((together * freed) / CUT_VARIANCE) / xx,
        );
    }
    return { rate, standardError, count };
}
