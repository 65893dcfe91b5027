import { bisquare } from './bisquare.js';
import { median } from './median.js';
import type { Moves, Pair, Symmetric } from './plane.js';

/**
 * An install changes the mount itself, so its change of angle holds a constant of the two kits that nobody knows. It is a free column of
 * the fit for each change of kit, profiled out: the sums are those about the weighted means of its moves (Frisch and Waugh 1933; from
 * memory). Moves with one kit have none.
 */
export interface KitChanges {
    /** Number of the change of kit of each move, 0..count - 1; -1 = one kit. */
    of: Int32Array;
    count: number;
}

/** Constants of the changes of kit at `slopes`: medians of what the slopes leave, deg. */
export function medianConstants({ out, aft, change, kits }: Moves, slopes: Pair): Float64Array {
    const left: number[][] = Array.from({ length: kits?.count ?? 0 }, () => []);
    if (kits !== undefined) {
        for (let i = 0; i < out.length; i++) {
            const kit = kits.of[i]!;
            if (kit >= 0) left[kit]!.push(change[i]! - slopes.out * out[i]! - slopes.aft * aft[i]!);
        }
    }
    return Float64Array.from(left.map((values) => median(Float64Array.from(values)) ?? 0));
}

/** The constant of move `i`, deg. */
export const constantOf = ({ kits }: Moves, constants: Float64Array, i: number): number =>
    kits === undefined || kits.of[i]! < 0 ? 0 : constants[kits.of[i]!]!;

/** Weighted means of the moves of each change of kit, and the sum of their weights. */
export interface KitMean {
    weight: number;
    out: number;
    aft: number;
    change: number;
}

export function kitMeans({ out, aft, change, kits }: Moves, weightOf: (i: number) => number): KitMean[] {
    if (kits === undefined) return [];
    const sums = Array.from({ length: kits.count }, () => ({ weight: 0, out: 0, aft: 0, change: 0 }));
    for (let i = 0; i < out.length; i++) {
        if (kits.of[i]! < 0) continue;
        const sum = sums[kits.of[i]!]!;
        const w = weightOf(i);
        sum.weight += w;
        sum.out += w * out[i]!;
        sum.aft += w * aft[i]!;
        sum.change += w * change[i]!;
    }
    return sums.map((sum) =>
        sum.weight > 0
            ? {
                  weight: sum.weight,
                  out: sum.out / sum.weight,
                  aft: sum.aft / sum.weight,
                  change: sum.change / sum.weight,
              }
            : sum,
    );
}

/** Takes what the constants explain off weighted sums of squares and products over all moves. */
export function takeMeansOff(means: readonly KitMean[], xx: Symmetric, xy: Pair): void {
    for (const { weight, out, aft, change } of means) {
        xx.oo -= weight * out * out;
        xx.oa -= weight * out * aft;
        xx.aa -= weight * aft * aft;
        xy.out -= weight * out * change;
        xy.aft -= weight * aft * change;
    }
}

/** Constants that least squares of `means` gives with `slopes`; one without weight stays as it is in `before`. */
export const constantsFrom = (means: readonly KitMean[], slopes: Pair, before: Float64Array): Float64Array =>
    Float64Array.from(
        means.map(({ weight, out, aft, change }, kit) =>
            weight > 0 ? change - slopes.out * out - slopes.aft * aft : before[kit]!,
        ),
    );

/** Bisquare M-estimates of the constants at `slopes`, from their medians; `end`: residual, deg, from which on a move weighs 0. */
export function robustConstants(moves: Moves, slopes: Pair, end: number): Float64Array {
    let constants = medianConstants(moves, slopes);
    for (let count = 0; count < 60 && constants.length > 0; count++) {
        const means = kitMeans(moves, (i) => {
            const u =
                (moves.change[i]! -
                    slopes.out * moves.out[i]! -
                    slopes.aft * moves.aft[i]! -
                    constantOf(moves, constants, i)) /
                end;
            return moves.weight[i]! * bisquare.weight(moves.weight[i]! * u * u);
        });
        const next = constantsFrom(means, slopes, constants);
        const moved = next.reduce((most, value, kit) => Math.max(most, Math.abs(value - constants[kit]!)), 0);
        constants = next;
        if (moved < 1e-10) break;
    }
    return constants;
}
