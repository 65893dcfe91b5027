import { BREAKDOWN, bisquare, EFFICIENCY } from './bisquare.js';
import { determinant, inverse, type Moves, type Pair, solvePair, times, zero } from './plane.js';
import type { Start } from './startingSlopes.js';

/** Sums over the moves at one point of the iteration. */
function sumsAt({ out, aft, change, weight }: Moves, slopes: Pair, end: number) {
    const [xx, h] = [zero(), zero()];
    const xy = { out: 0, aft: 0 };
    let [weights, rho, rhoSlope] = [0, 0, 0];
    for (let i = 0; i < out.length; i++) {
        const [x, z, y, share] = [out[i]!, aft[i]!, change[i]!, weight[i]!];
        const u = (y - slopes.out * x - slopes.aft * z) / end;
        const q = share * u * u;
        const w = share * bisquare.weight(q);
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
    return { xx, xy, h, weights, rho, rhoSlope };
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
function step(moves: Moves, slopes: Pair, scale: number, tuning: number) {
    const sums = sumsAt(moves, slopes, scale * tuning);
    const solved = solvePair(sums.xx, sums.xy);
    // Where every weight is 0 the fit stays where it is.
    const d = solved
        ? { out: (solved.out ?? 0) - slopes.out, aft: (solved.aft ?? 0) - slopes.aft }
        : { out: 0, aft: 0 };
    const spread = sums.weights * scale * scale;
    const moved = sums.xx.oo * d.out * d.out + 2 * sums.xx.oa * d.out * d.aft + sums.xx.aa * d.aft * d.aft;
    // Mean square of the change of the fitted values, in units of the scale.
    const size = spread === 0 ? 0 : moved / spread;
    const gone = stretched(sums.xx, sums.h, d, size < 0.05);
    return { ...sums, d, size, gone, next: { out: slopes.out + gone.out, aft: slopes.aft + gone.aft } };
}

/**
 * S-estimate of slopes and scale (deg, of a move with weight 1): bisquare with 50 % breakdown, the sum of rho over n - 2 equal to 1/2,
 * by iterated reweighting from `start`.
 */
export function scaleEstimate(moves: Moves, start: Start): { slopes: Pair; scale: number } {
    const df = Math.max(moves.out.length - 2, 1);
    let { slopes } = start;
    let scale = Math.max(1.4826 * start.medianAbsolute, 1e-4);
    for (let count = 0; count < 40; count++) {
        const { next, rho, rhoSlope, size, gone } = step(moves, slopes, scale, BREAKDOWN);
        // Newton's step for log rho over log scale.
        const factor = rho > 0 ? Math.exp(Math.log(rho / df / 0.5) / Math.max(rhoSlope / rho, 0.5)) : 0;
        const newScale = Math.max(scale * factor, 1e-4);
        const settled = Math.abs(newScale / scale - 1) < (gone.newton ? 1e-4 : 1e-6) && size < 1e-8;
        [slopes, scale] = [next, newScale];
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
    for (let stepCount = 1; stepCount <= 60; stepCount++) {
        const { next, d, gone } = step(moves, slopes, scale, EFFICIENCY);
        slopes = next;
        // A Newton step leaves about the square of what it went.
        if (Math.abs(d.out) + Math.abs(d.aft) < (gone.newton ? 1e-6 : 1e-9))
            return { slopes, settled: true, stepCount };
    }
    return { slopes, settled: false, stepCount: 60 };
}
