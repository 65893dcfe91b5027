import { constantOf, kitMeans, medianConstants, takeMeansOff } from './kitConstants.js';
import { median } from './median.js';
import { type Moves, type Pair, solvePair } from './plane.js';

export interface Start {
    slopes: Pair;
    /** Median of |residual| * sqrt(weight), deg. */
    medianAbsolute: number;
}

function leastSquares(moves: Moves): Pair {
    const { out, aft, change, weight } = moves;
    const [xx, xy] = [
        { oo: 0, oa: 0, aa: 0 },
        { out: 0, aft: 0 },
    ];
    for (let i = 0; i < out.length; i++) {
        const [wo, wa] = [weight[i]! * out[i]!, weight[i]! * aft[i]!];
        xx.oo += wo * out[i]!;
        xx.oa += wo * aft[i]!;
        xx.aa += wa * aft[i]!;
        xy.out += wo * change[i]!;
        xy.aft += wa * change[i]!;
    }
    takeMeansOff(
        kitMeans(moves, (i) => weight[i]!),
        xx,
        xy,
    );
    const solved = solvePair(xx, xy);
    return { out: solved?.out ?? 0, aft: solved?.aft ?? 0 };
}

/** Medians of change / move over the moves that an axis dominates, with the other axis taken off; alternated. Constants by `prior`. */
function slopesByMedians(moves: Moves, prior: Pair): Pair {
    const { out, aft } = moves;
    const constants = medianConstants(moves, prior);
    const change = moves.change.map((y, i) => y - constantOf(moves, constants, i));
    const medianOf = (taken: (i: number) => boolean, slope: (i: number) => number) => {
        const values: number[] = [];
        for (let i = 0; i < out.length; i++) if (taken(i)) values.push(slope(i));
        return median(Float64Array.from(values)) ?? 0;
    };
    const firstOut = medianOf(
        (i) => Math.abs(out[i]!) >= Math.abs(aft[i]!),
        (i) => change[i]! / out[i]!,
    );
    const slopeAft = medianOf(
        (i) => Math.abs(aft[i]!) > 0.25 * Math.abs(out[i]!),
        (i) => (change[i]! - firstOut * out[i]!) / aft[i]!,
    );
    const slopeOut = medianOf(
        (i) => Math.abs(out[i]!) > 0.25 * Math.abs(aft[i]!),
        (i) => (change[i]! - slopeAft * aft[i]!) / out[i]!,
    );
    return { out: slopeOut, aft: slopeAft };
}

/**
 * Where the robust fit of `moves` starts: of three deterministic candidates (least squares, medians, the geometric `prior`) the one
 * whose residuals have the smallest median.
 */
export function startingSlopes(moves: Moves, prior: Pair): Start {
    const { out, aft, change, weight } = moves;
    const starts = [leastSquares(moves), slopesByMedians(moves, prior), prior].map((slopes) => {
        const constants = medianConstants(moves, slopes);
        return {
            slopes,
            medianAbsolute: median(
                change.map((y, i) =>
                    Math.abs(
                        Math.sqrt(weight[i]!) *
                            (y -
                                slopes.out * out[i]! -
                                slopes.aft * aft[i]! -
                                constantOf(moves, constants, i)),
                    ),
                ),
            )!,
        };
    });
    return starts.reduce((best, other) => (other.medianAbsolute < best.medianAbsolute ? other : best));
}
