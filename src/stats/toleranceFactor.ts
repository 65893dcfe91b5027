import { chisquareCdf, normalCdf, normalQuantile } from './distributions.js';
import { integrate } from './gaussLegendre.js';

/** The r with Phi(x + r) - Phi(x - r) = coverage, by Newton steps. */
function halfWidth(x: number, coverage: number): number {
    let r = normalQuantile((1 + coverage) / 2) + x * x * 0.5 * (x < 1 ? 1 : 1 / x);
    for (let step = 0; step < 60; step++) {
        const excess = normalCdf(x + r) - normalCdf(x - r) - coverage;
        const slope =
            (Math.exp(-((x + r) ** 2) / 2) + Math.exp(-((x - r) ** 2) / 2)) / Math.sqrt(2 * Math.PI);
        const next = Math.max(r - excess / slope, r / 2);
        if (Math.abs(next - r) < 1e-13 * next) return next;
        r = next;
    }
    return r;
}

/**
 * Factor k of the two-sided normal tolerance interval mean +- k s: with probability `confidence` it holds at least the
 * share `coverage` of the population. `n`: number of values in the mean (> 0, need not be whole: an effective number);
 * `df`: degrees of freedom of s (> 0, usually n - 1). NaN outside the domain.
 * Definition of ISO 16269-6:2014, annex, exact integral over the mean (Odeh and Owen 1980), not Howe's approximation.
 */
export function toleranceFactor(n: number, coverage: number, confidence: number, df: number = n - 1): number {
    if (!(n > 0 && df > 0 && coverage > 0 && coverage < 1 && confidence > 0 && confidence < 1))
        return Number.NaN;
    const reach = 9 / Math.sqrt(n);
    const shareHeld = (k: number) =>
        Math.sqrt((2 * n) / Math.PI) *
        integrate(
            (x) =>
                (1 - chisquareCdf((df * halfWidth(x, coverage) ** 2) / (k * k), df)) *
                Math.exp((-n * x * x) / 2),
            0,
            reach,
            3,
        );
    let low = normalQuantile((1 + coverage) / 2) * 0.5;
    let high = low * 4;
    while (shareHeld(high) < confidence) high *= 2;
    for (let step = 0; step < 60 && high - low > 1e-9 * high; step++) {
        const middle = (low + high) / 2;
        if (shareHeld(middle) < confidence) low = middle;
        else high = middle;
    }
    return (low + high) / 2;
}
