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

const times = (a: number | null, b: number | null) => (a === null || b === null ? null : a * b);
const plus = (a: number | null, b: number | null) => (a === null || b === null ? null : a + b);
const root = (variance: number | null) => (variance === null ? null : Math.sqrt(variance));

/** Where it cannot slide, or nothing tells. */
export const noSlip = {
    slip_out_mm: null,
    slip_out_std_error_mm: null,
    slip_aft_mm: null,
    slip_aft_std_error_mm: null,
    slip_cov_mm2: null,
    mark_1_back: null,
    mark_2_back: null,
};

type SlipCells = Record<keyof typeof noSlip, number | null>;

/** The same as columns of table drift, in the vehicle frame, with the marks that would undo it; `pitch`: mm of one mark. */
export function slipCells(front: Front, hand: string | null, pitch: number | undefined): SlipCells {
    if (front.freedom === 'none') return noSlip;
    const { sizes, variances, covariance } = slipOf(front);
    const [[first, second], [firstVariance, secondVariance]] = [sizes, variances];
    const [out, aft] = front.slot ?? [null, null];
    const marks = (mm: number | null) => (mm === null || pitch === undefined ? null : -mm / pitch);
    if (front.freedom === 'slot') {
        return {
            slip_out_mm: times(first, out),
            slip_out_std_error_mm: times(root(firstVariance), Math.abs(out!)),
            slip_aft_mm: times(first, aft),
            slip_aft_std_error_mm: times(root(firstVariance), Math.abs(aft!)),
            slip_cov_mm2: times(times(firstVariance, out), aft),
            mark_1_back: marks(first),
            mark_2_back: null,
        };
    }
    // The second scale of a plate of the other side's hand points the other way.
    const mirror = hand === null ? null : (hand === 'left') === (front.side === 1) ? 1 : -1;
    return {
        slip_out_mm: first,
        slip_out_std_error_mm: root(firstVariance),
        slip_aft_mm: second,
        slip_aft_std_error_mm: root(secondVariance),
        slip_cov_mm2: covariance,
        mark_1_back: marks(plus(times(first, out), times(second, aft))),
        mark_2_back: marks(times(plus(times(second, out), times(times(first, aft), -1)), mirror)),
    };
}
