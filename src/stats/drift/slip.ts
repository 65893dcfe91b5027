import { type Front, slipsOf, unknownOfSlip } from './corner.js';

/** Sizes along the directions that a plate allows, mm, with their covariances; null where nothing that was read tells them. */
export interface Slip {
    sizes: readonly [number | null, number | null];
    variances: readonly [number | null, number | null];
    covariance: number | null;
}

/** Generalised least squares, slips of mean square `square`: the first direction is taken first, one that is a multiple of it is null. */
function estimate(front: Front, square: number): Slip {
    const { read, values, variances } = front.changes;
    const [first, second] = slipsOf(front);
    const unknown = unknownOfSlip(front);
    let [xx, xz, zz, xy, zy] = [0, 0, 0, 0, 0];
    for (const i of read) {
        const noise = variances[i]! + square * unknown[i]!;
        const [x, z] = [first![i]!, second?.[i] ?? 0];
        xx += (x * x) / noise;
        xz += (x * z) / noise;
        zz += (z * z) / noise;
        xy += (x * values[i]!) / noise;
        zy += (z * values[i]!) / noise;
    }
    const det = xx * zz - xz * xz;
    if (xx > 0 && det > 1e-13 * xx * zz) {
        return {
            sizes: [(zz * xy - xz * zy) / det, (xx * zy - xz * xy) / det],
            variances: [zz / det, xx / det],
            covariance: -xz / det,
        };
    }
    if (xx > 0) return { sizes: [xy / xx, null], variances: [1 / xx, null], covariance: null };
    if (zz > 0) return { sizes: [null, zy / zz], variances: [null, 1 / zz], covariance: null };
    return { sizes: [null, null], variances: [null, null], covariance: null };
}

/**
 * How far the bearing slipped, if it did, along the directions of {@link slipsOf}: with the noise of the readings and what is not known of
 * the slopes, at the size of the slip by one step of iteration. No prior on the size, so that 95 % regions hold whatever it is.
 */
export function slipOf(front: Front): Slip {
    const [out, aft] = estimate(front, 0).sizes;
    return estimate(front, (out ?? 0) * (out ?? 0) + (aft ?? 0) * (aft ?? 0));
}
