/** One chassis: its estimate and the variance of that. */
export interface Sampled {
    estimate: number;
    variance: number;
}

function weightedSums(sampled: readonly Sampled[], between: number) {
    let [weights, values] = [0, 0];
    for (const { estimate, variance } of sampled) {
        weights += 1 / (variance + between);
        values += estimate / (variance + between);
    }
    return { weights, values };
}

/**
 * Paule-Mandel estimate of the variance between the members of `sampled` (at least one), and the mean weighted at it.
 * Source: Paule and Mandel 1982; Newton steps of DerSimonian and Kacker 2007.
 */
export function pauleMandel(sampled: readonly Sampled[]): { between: number; mean: number } {
    // One alone lies about its own mean by rounding only, which no step would settle.
    if (sampled.length === 1) return { between: 0, mean: sampled[0]!.estimate };
    let between = 0;
    for (let step = 0; step < 100; step++) {
        const { weights, values } = weightedSums(sampled, between);
        const mean = values / weights;
        let [excess, steepness] = [-(sampled.length - 1), 0];
        for (const { estimate, variance } of sampled) {
            const w = 1 / (variance + between);
            excess += w * (estimate - mean) ** 2;
            steepness += (w * (estimate - mean)) ** 2;
        }
        const next = steepness > 0 ? Math.max(between + excess / steepness, 0) : 0;
        const settled = steepness <= 0 || excess <= 0 || excess / steepness <= 1e-12 * between;
        if (settled) return { between: next, mean };
        between = next;
    }
    const { weights, values } = weightedSums(sampled, between);
    return { between, mean: values / weights };
}

/** Precision of the weighted mean at `between`, and that times the mean. */
export const pooled = weightedSums;
