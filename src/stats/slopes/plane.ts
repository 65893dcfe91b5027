import type { KitChanges } from './kitConstants.js';

/** A pair over the two axes of the bearing offset: outboard and rearward. */
export interface Pair {
    out: number;
    aft: number;
}

/** A symmetric 2 x 2 matrix over the two axes. */
export interface Symmetric {
    oo: number;
    oa: number;
    aa: number;
}

/**
 * Moves of one chassis and what they did to one angle: columns of one length, in an order that depends on their values alone, so that
 * sums over them depend on no order of input.
 */
export interface Moves {
    /** mm outboard, mm rearward. */
    out: Float64Array;
    aft: Float64Array;
    /** deg */
    change: Float64Array;
    /** Share of the visit's information. */
    weight: Float64Array;
    /** Changes of kit among the moves; undefined: none. */
    kits?: KitChanges | undefined;
}

export const zero = (): Symmetric => ({ oo: 0, oa: 0, aa: 0 });

export const determinant = ({ oo, oa, aa }: Symmetric) => oo * aa - oa * oa;

export const times = ({ oo, oa, aa }: Symmetric, { out, aft }: Pair): Pair => ({
    out: oo * out + oa * aft,
    aft: oa * out + aa * aft,
});

/** Inverse of a positive definite matrix. */
export function inverse(matrix: Symmetric): Symmetric {
    const det = determinant(matrix);
    return { oo: matrix.aa / det, oa: -matrix.oa / det, aa: matrix.oo / det };
}

/** v' A v */
export const quadratic = ({ oo, oa, aa }: Symmetric, { out, aft }: Pair) =>
    oo * out * out + 2 * oa * out * aft + aa * aft * aft;

/** Sum of squares (mm2) up to which an axis was not moved along: what rounding leaves. */
const UNMOVED = 1e-6;

export const isMoved = (square: number) => square > UNMOVED;

/** Whether moves with this sum of squares tell the two axes apart: both were moved along, and not along one slanting line only. */
export const isFull = (xx: Symmetric) =>
    isMoved(xx.oo) && isMoved(xx.aa) && determinant(xx) > 1e-6 * xx.oo * xx.aa;

/**
 * Solves `xx` b = `xy`, a sum of squares and one of products: out is taken first; an axis that was not moved along, or a multiple of the
 * other, is null. Null where nothing is known.
 */
export function solvePair(xx: Symmetric, xy: Pair): { out: number | null; aft: number | null } | null {
    if (isFull(xx)) return times(inverse(xx), xy);
    if (isMoved(xx.oo)) return { out: xy.out / xx.oo, aft: null };
    if (isMoved(xx.aa)) return { out: null, aft: xy.aft / xx.aa };
    return null;
}
