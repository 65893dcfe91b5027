import { connected } from './connected.js';
import { symmetricInverse } from './symmetricInverse.js';

/**
 * Normal equations of readings = fixed part + Z u + error with the fixed part taken out: A = Z'WMZ, W the weights, M the centring.
 * `first`, `second` and `xx` list the elements of the upper triangle of A that are not 0 (parts of one element add up), levels numbered
 * from 1; `xy` = Z'WMy.
 */
export interface NormalEquations {
    first: ArrayLike<number>;
    second: ArrayLike<number>;
    xx: ArrayLike<number>;
    xy: ArrayLike<number>;
}

/** Levels that hang together, as numbers from 0 within the whole, and their part of the equations. */
export interface Block {
    levels: number[];
    /** Row by row. */
    xx: Float64Array;
    xy: number[];
}

/** A is block diagonal over levels that are joined by its elements, directly or through others: its blocks, in order. */
export function blocksOf({ first, second, xx, xy }: NormalEquations): Block[] {
    const sets = connected(xy.length, first, second);
    const blocks = new Map<number, Block>();
    const places = sets.map((set, level) => {
        if (!blocks.has(set)) blocks.set(set, { levels: [], xx: new Float64Array(), xy: [] });
        const block = blocks.get(set)!;
        block.xy.push(xy[level]!);
        return block.levels.push(level) - 1;
    });
    for (const block of blocks.values()) block.xx = new Float64Array(block.levels.length ** 2);
    for (let k = 0; k < xx.length; k++) {
        const block = blocks.get(sets[first[k]! - 1]!)!;
        const [i, j] = [places[first[k]! - 1]!, places[second[k]! - 1]!];
        block.xx[i * block.levels.length + j]! += xx[k]!;
        if (i !== j) block.xx[j * block.levels.length + i]! += xx[k]!;
    }
    return [...blocks.values()];
}

/**
 * S (1 + S A S)^-1 S with S the diagonal of `roots`, the square roots of the variance ratios of the levels to the error variance:
 * times xy the predicted effects, times the error variance the covariance of their errors. Row by row.
 */
export function predictor({ xx }: Block, roots: readonly number[]): Float64Array {
    const n = roots.length;
    const free = roots.flatMap((root, level) => (root > 0 ? [level] : []));
    const count = free.length;
    const system = new Float64Array(count * count);
    free.forEach((level, i) => {
        free.forEach((other, j) => {
            system[i * count + j] = roots[level]! * xx[level * n + other]! * roots[other]!;
        });
        system[i * count + i]! += 1;
    });
    const inverse = symmetricInverse(system, count);
    const p = new Float64Array(n * n);
    free.forEach((level, i) => {
        free.forEach((other, j) => {
            p[level * n + other] = roots[level]! * inverse[i * count + j]! * roots[other]!;
        });
    });
    return p;
}

/** s' M s, `scores` the elements of s that are not 0 by their places, `m` square with `n` rows, row by row. */
export function scatterOf(scores: ReadonlyMap<number, number>, m: Float64Array, n: number): number {
    let sum = 0;
    for (const [i, one] of scores) for (const [j, other] of scores) sum += one * other * m[i * n + j]!;
    return sum;
}

/** The square matrix `m`, row by row, times `x`. */
export function times(m: Float64Array, x: ArrayLike<number>): Float64Array {
    const n = x.length;
    const used: number[] = [];
    for (let k = 0; k < n; k++) if (x[k] !== 0) used.push(k);
    const product = new Float64Array(n);
    for (let i = 0; i < n; i++) {
        let sum = 0;
        for (const k of used) sum += m[i * n + k]! * x[k]!;
        product[i] = sum;
    }
    return product;
}
