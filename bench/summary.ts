/** Middle value, or the mean of the two middle ones; null of nothing. */
export function median(values: readonly number[]): number | null {
    if (values.length === 0) return null;
    const sorted = [...values].sort((a, b) => a - b);
    const upper = sorted[Math.floor(sorted.length / 2)]!;
    const lower = sorted[Math.ceil(sorted.length / 2) - 1]!;
    return (lower + upper) / 2;
}

/** A ratio measured several times: the median, the least and the greatest. */
export interface Ratio {
    median: number;
    low: number;
    high: number;
}

/**
 * Ratios of runs made in turn, each `values[i]` against `baseline[i]` of its own round, so that what slows a whole round
 * cancels. Rounds without a partner are left out; null when none is left.
 */
export function pairedRatio(values: readonly number[], baseline: readonly number[]): Ratio | null {
    const ratios = values.slice(0, baseline.length).map((value, i) => value / baseline[i]!);
    const middle = median(ratios);
    return middle === null ? null : { median: middle, low: Math.min(...ratios), high: Math.max(...ratios) };
}
