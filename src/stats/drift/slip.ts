import { type Front, slipsOf, unknownOfSlip } from './corner.js';
import { type Evidence, evidence, type Vector } from './gaussian.js';

/** Sizes along the directions that a plate allows, mm, with their covariances; null where nothing that was read tells them. */
interface Estimate {
    sizes: readonly (number | null)[];
    variances: readonly (number | null)[];
    covariance: number | null;
}

/** Generalised least squares: the first direction is taken first, one that is a multiple of the other is null. */
function solve({ linear, quadratic }: Evidence): Estimate {
    const [x, z] = [quadratic[0]![0]!, quadratic[1]?.[1] ?? 0];
    const both = quadratic[1]?.[0] ?? 0;
    const det = x * z - both * both;
    const [u, v] = [linear[0]!, linear[1] ?? 0];
    if (x > 0 && det > 1e-13 * x * z) {
        return {
            sizes: [(z * u - both * v) / det, (x * v - both * u) / det],
            variances: [z / det, x / det],
            covariance: -both / det,
        };
    }
    if (x > 0) return { sizes: [u / x, null], variances: [1 / x, null], covariance: null };
    if (z > 0) return { sizes: [null, v / z], variances: [null, 1 / z], covariance: null };
    return { sizes: [null, null], variances: [null, null], covariance: null };
}

/**
 * How far the bearing slipped, if it did, along the directions of {@link slipsOf}: with the noise of the readings and what is not known of
 * the slopes, at the size of the slip by one step of iteration. No prior on the size, so that 95 % regions hold whatever it is.
 */
export function slipOf(front: Front): Estimate {
    const effects = slipsOf(front);
    const nothing: Vector = [0, 0, 0, 0, 0, 0];
    const guess = solve(evidence(front.changes, nothing, effects));
    const square = guess.sizes.reduce<number>((sum, size) => sum + (size ?? 0) * (size ?? 0), 0);
    const unknown = unknownOfSlip(front).map((variance) => square * variance);
    return solve(evidence(front.changes, unknown, effects));
}
