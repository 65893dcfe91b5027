import { BREAKDOWN, bisquare, EFFICIENCY } from './bisquare.js';
import { constantOf, constantsFrom, kitMeans, medianConstants, takeMeansOff } from './kitConstants.js';
import { determinant, inverse, type Moves, type Pair, solvePair, times, zero } from './plane.js';
import type { Start } from './startingSlopes.js';

/** Sums over the moves at one point of the iteration, about the means of each change of kit. */
function sumsAt(moves: Moves, slopes: Pair, constants: Float64Array, end: number) {
    const { out, aft, change, weight } = moves;
    const robust = new Float64Array(constants.length > 0 ? out.length : 0);
    const [xx, h] = [zero(), zero()];
    const xy = { out: 0, aft: 0 };
    let [weights, rho, rhoSlope] = [0, 0, 0];
    for (let i = 0; i < out.length; i++) {
        const x = out[i]!;
        const z = aft[i]!;
        const y = change[i]!;
        const share = weight[i]!;
        const u = (y - slopes.out * x - slopes.aft * z - constantOf(moves, constants, i)) / end;
        const q = share * u * u;
        const w = share * bisquare.weight(q);
        if (constants.length > 0) robust[i] = w;
        const slope = share * bisquare.slope(q);
        xx.oo += w * x * x;
        xx.oa += w * x * z;
        xx.aa += w * z * z;
        xy.out += w * x * y;
        xy.aft += w * z * y;
        h.oo += slope * x * x;
        h.oa += slope * x * z;
        h.aa += slope * z * z;
        weights += w;
        rho += bisquare.rho(q);
        rhoSlope += bisquare.rhoSlope(q);
    }
    const means = kitMeans(moves, (i) => robust[i]!);
    takeMeansOff(means, xx, xy);
    return { xx, xy, h, weights, rho, rhoSlope, means };
}

/**
 * How far to go along a step `d` of iterated reweighting (xx d = score) when the matrix `h` of psi' over the same moves is known too.
 * Near the solution and with h well positive: h^-1 xx d, a Newton step. Else d, stretched by the ratio of the traces as far as
 * reweighting cannot miss (d minimises a parabola above the objective).
 */
function stretched(xx: ReturnType<typeof zero>, h: ReturnType<typeof zero>, d: Pair, near: boolean) {
    if (
        near &&
        h.oo > 0.1 * xx.oo &&
        h.aa > 0.1 * xx.aa &&
        determinant(h) > 0.02 * determinant(xx) &&
        determinant(xx) > 1e-6 * xx.oo * xx.aa
    ) {
        return { ...times(inverse(h), times(xx, d)), newton: true };
    }
    const trace = h.oo + h.aa;
    const factor = trace > 0 ? Math.min((xx.oo + xx.aa) / trace, near ? 4 : 1.9) : 1;
    return { out: d.out * factor, aft: d.aft * factor, newton: false };
}

/** One step from `slopes` at `scale` * `tuning`: where to, and how far that is. */
function step(moves: Moves, slopes: Pair, constants: Float64Array, scale: number, tuning: number) {
    const sums = sumsAt(moves, slopes, constants, scale * tuning);
    const solved = solvePair(sums.xx, sums.xy);
    // Where every weight is 0 the fit stays where it is.
    const d = solved
        ? { out: (solved.out ?? 0) - slopes.out, aft: (solved.aft ?? 0) - slopes.aft }
        : { out: 0, aft: 0 };
    const spread = sums.weights * scale * scale;
    const moved = sums.xx.oo * d.out * d.out + 2 * sums.xx.oa * d.out * d.aft + sums.xx.aa * d.aft * d.aft;
    // Mean square of the change of the fitted values, in units of the scale.
    const size = spread === 0 ? 0 : moved / spread;
    // Beside constants the matrix of psi' is another one: plain reweighting.
    const gone = constants.length > 0 ? { ...d, newton: false } : stretched(sums.xx, sums.h, d, size < 0.05);
    const next = { out: slopes.out + gone.out, aft: slopes.aft + gone.aft };
    const nextConstants = constantsFrom(sums.means, next, constants);
    const shifted = nextConstants.reduce((most, c, kit) => Math.max(most, Math.abs(c - constants[kit]!)), 0);
    return { ...sums, d, size, gone, next, nextConstants, shifted };
}

/**
 * S-estimate of slopes and scale (deg, of a move with weight 1): bisquare with 50 % breakdown, the sum of rho over n - 2 equal to 1/2
 * (n less the constants of changes of kit), by iterated reweighting from `start`.
 */
export function scaleEstimate(moves: Moves, start: Start): { slopes: Pair; scale: number } {
    const df = Math.max(moves.out.length - 2 - (moves.kits?.count ?? 0), 1);
    let { slopes } = start;
    let constants = medianConstants(moves, slopes);
    let scale = Math.max(1.4826 * start.medianAbsolute, 1e-4);
    for (let count = 0; count < 40; count++) {
        const { next, rho, rhoSlope, size, gone, nextConstants, shifted } = step(
            moves,
            slopes,
            constants,
            scale,
            BREAKDOWN,
        );
        // Newton's step for log rho over log scale.
        const factor = rho > 0 ? Math.exp(Math.log(rho / df / 0.5) / Math.max(rhoSlope / rho, 0.5)) : 0;
        const newScale = Math.max(scale * factor, 1e-4);
        const settled =
            Math.abs(newScale / scale - 1) < (gone.newton ? 1e-4 : 1e-6) &&
            size < 1e-8 &&
            shifted <= 1e-4 * scale;
        [slopes, scale, constants] = [next, newScale, nextConstants];
        if (settled) break;
    }
    return { slopes, scale };
}

interface RobustFit {
    slopes: Pair;
    /** Whether the iteration came to rest. */
    settled: boolean;
    stepCount: number;
}

/** MM-estimate: bisquare with 95 % efficiency at the fixed `scale` (deg), no intercept, iterated from the S-estimate `start`. */
export function robustSlopes(moves: Moves, start: Pair, scale: number): RobustFit {
    let slopes = start;
    let constants = medianConstants(moves, slopes);
    for (let stepCount = 1; stepCount <= 60; stepCount++) {
        const { next, d, gone, nextConstants, shifted } = step(moves, slopes, constants, scale, EFFICIENCY);
        [slopes, constants] = [next, nextConstants];
        // A Newton step leaves about the square of what it went.
        if (Math.abs(d.out) + Math.abs(d.aft) < (gone.newton ? 1e-6 : 1e-9) && shifted <= 1e-8)
            return { slopes, settled: true, stepCount };
    }
    return { slopes, settled: false, stepCount: 60 };
}
