import { bisquare } from './bisquare.js';
import { clusterRobust } from './clusterRobust.js';
import { constantOf, type KitMean, kitMeans, robustConstants } from './kitConstants.js';
import {
    determinant,
    inverse,
    isFull,
    isMoved,
    type Moves,
    type Pair,
    type Symmetric,
    times,
    zero,
} from './plane.js';

/** Moves with what the estimate needs besides the fit; columns of one length. */
export interface VehicleMoves extends Moves {
    /** Number of the vehicle of each move, 0..vehicleCount - 1. */
    vehicle: Int32Array;
    vehicleCount: number;
    /** Variance of the move from reading the pointer twice, mm2. */
    errorOo: Float64Array;
    errorOa: Float64Array;
    errorAa: Float64Array;
    /** Middle of the two offsets, mm. */
    midOut: Float64Array;
    midAft: Float64Array;
}

/** `line`: one slanting direction; `none`: every move weighs 0. */
export type Rank = 'full' | 'out' | 'aft' | 'line' | 'none';

interface Vehicle {
    xx: Symmetric;
    xy: Pair;
    error: Symmetric;
    /** What the constants of changes of kit take from the spread of its residuals; undefined: none. */
    lost: Symmetric | undefined;
    outCount: number;
    aftCount: number;
}

/** Slopes of one angle on one chassis; null where the moves cannot tell. Per axis: outboard and rearward. */
export interface SlopeEstimate {
    rank: Rank;
    slope: { out: number | null; aft: number | null };
    /** CR2 variances and covariance, deg2/mm2; null where one vehicle carries most of what is known of an axis. */
    variance: { oo: number | null; oa: number | null; aa: number | null };
    df: { out: number | null; aft: number | null };
    /** Weighted sums that the slopes come from, mm2 and mm.deg. */
    xx: Symmetric;
    xy: Pair;
    /** Variance of one move with weight 1 times mean robust weight / 0.95, deg2: xx^-1 times it is the model variance. */
    noiseVariance: number;
    /** Share of the sum of squares that is not mark-reading error. */
    reliability: { out: number | null; aft: number | null };
    corrected: boolean;
    movedCount: Pair;
    movedVehicleCount: Pair;
    downweightedCount: number;
    /** Mean offset at which a slope holds, mm. */
    mid: { out: number | null; aft: number | null };
}

/** Sum over the changes of kit of X X' / W, with X the weighted sum of a vehicle's moves about the mean and W the weight of all. */
function addLost(vehicle: Vehicle, sums: readonly Pair[], means: readonly KitMean[]): void {
    vehicle.lost = zero();
    for (const [kit, { out, aft }] of sums.entries()) {
        const { weight } = means[kit]!;
        if (!(weight > 0)) continue;
        vehicle.lost.oo += (out * out) / weight;
        vehicle.lost.oa += (out * aft) / weight;
        vehicle.lost.aa += (aft * aft) / weight;
    }
}

function vehiclesOf(moves: VehicleMoves, robust: Float64Array, means: readonly KitMean[]): Vehicle[] {
    const sums = Array.from({ length: means.length > 0 ? moves.vehicleCount : 0 }, () =>
        means.map((): Pair => ({ out: 0, aft: 0 })),
    );
    const vehicles = Array.from(
        { length: moves.vehicleCount },
        (): Vehicle => ({
            xx: zero(),
            xy: { out: 0, aft: 0 },
            error: zero(),
            lost: undefined,
            outCount: 0,
            aftCount: 0,
        }),
    );
    for (let i = 0; i < moves.out.length; i++) {
        const { xx, xy, error } = vehicles[moves.vehicle[i]!]!;
        const w = moves.weight[i]! * robust[i]!;
        const mean = meanOf(moves, means, i);
        const x = moves.out[i]! - mean.out;
        const z = moves.aft[i]! - mean.aft;
        const y = moves.change[i]! - mean.change;
        // The mean holds a share of the error of each of its moves.
        const e = mean.weight > 0 ? w * (1 - w / mean.weight) : w;
        if (mean.weight > 0) {
            const sum = sums[moves.vehicle[i]!]![moves.kits!.of[i]!]!;
            sum.out += w * x;
            sum.aft += w * z;
        }
        xx.oo += w * x * x;
        xx.oa += w * x * z;
        xx.aa += w * z * z;
        xy.out += w * x * y;
        xy.aft += w * z * y;
        error.oo += e * moves.errorOo[i]!;
        error.oa += e * moves.errorOa[i]!;
        error.aa += e * moves.errorAa[i]!;
        if (Math.abs(moves.out[i]!) > 1e-6) vehicles[moves.vehicle[i]!]!.outCount++;
        if (Math.abs(moves.aft[i]!) > 1e-6) vehicles[moves.vehicle[i]!]!.aftCount++;
    }
    for (const [number, sum] of sums.entries()) addLost(vehicles[number]!, sum, means);
    // By their sums, never by their names.
    return vehicles.sort(
        (a, b) =>
            a.xx.oo - b.xx.oo ||
            a.xx.aa - b.xx.aa ||
            a.xx.oa - b.xx.oa ||
            a.xy.out - b.xy.out ||
            a.xy.aft - b.xy.aft ||
            a.error.oo - b.error.oo ||
            a.error.aa - b.error.aa ||
            a.error.oa - b.error.oa,
    );
}

const noMean: KitMean = { weight: 0, out: 0, aft: 0, change: 0 };

/** The mean that move `i` is taken from: that of its change of kit, else 0. */
const meanOf = ({ kits }: VehicleMoves, means: readonly KitMean[], i: number): KitMean =>
    kits === undefined || kits.of[i]! < 0 ? noMean : means[kits.of[i]!]!;

function rankOf(xx: Symmetric): Rank {
    if (!isMoved(xx.oo) && !isMoved(xx.aa)) return 'none';
    if (!isMoved(xx.aa)) return 'out';
    if (!isMoved(xx.oo)) return 'aft';
    return isFull(xx) ? 'full' : 'line';
}

function addTo(sum: Symmetric, { oo, oa, aa }: Symmetric): void {
    sum.oo += oo;
    sum.oa += oa;
    sum.aa += aa;
}

/** `matrix` on the axes that `rank` tells apart. */
function seen({ oo, oa, aa }: Symmetric, rank: Rank): Symmetric {
    if (rank === 'full') return { oo, oa, aa };
    return { oo: rank === 'out' ? oo : 0, oa: 0, aa: rank === 'aft' ? aa : 0 };
}

const invert = (matrix: Symmetric, rank: Rank): Symmetric =>
    rank === 'full'
        ? inverse(matrix)
        : {
              oo: matrix.oo > 0 ? 1 / matrix.oo : 0,
              oa: 0,
              aa: matrix.aa > 0 ? 1 / matrix.aa : 0,
          };

/**
 * Whether X'WX is to be lowered by the known variance of mark reading: where the reliability ratio of an axis is under 0.98, unless so
 * little is left that the slopes would be of no worth (Fuller, Measurement Error Models, 1987, section 2.2).
 */
function isCorrectable(lowered: Symmetric, rank: Rank, ratios: readonly number[]): boolean {
    if (rank === 'line' || rank === 'none') return false;
    const least = Math.min(...ratios);
    if (least >= 0.98 || least <= 0.2) return false;
    return rank !== 'full' || determinant(lowered) > 0.05 * lowered.oo * lowered.aa;
}

/**
 * Slopes of the MM-estimate `fitted` with cluster-robust standard errors: sandwich with the working weights (robustbase's .vcov.w form:
 * bread X'WX, factor sum w / sum psi'), CR2 per vehicle. `scale`: deg, of a move with weight 1; `end`: residual, deg, from which on
 * such a move weighs 0.
 */
export function slopeEstimate(moves: VehicleMoves, fitted: Pair, scale: number, end: number): SlopeEstimate {
    const { out, aft, change, weight, midOut, midAft } = moves;
    const count = out.length;
    const robust = new Float64Array(count);
    const constants = robustConstants(moves, fitted, end);
    let [weightSum, slopeSum, priorSum, downweightedCount] = [0, 0, 0, 0];
    let [farOut, farAft, farMidOut, farMidAft] = [0, 0, 0, 0];
    for (let i = 0; i < count; i++) {
        const x = out[i]!;
        const z = aft[i]!;
        const share = weight[i]!;
        const u = (change[i]! - fitted.out * x - fitted.aft * z - constantOf(moves, constants, i)) / end;
        const q = share * u * u;
        const trust = bisquare.weight(q);
        robust[i] = trust;
        weightSum += share * trust;
        slopeSum += share * bisquare.slope(q);
        priorSum += share;
        if (trust < 0.5) downweightedCount++;
        const wo = share * trust * Math.abs(x);
        const wa = share * trust * Math.abs(z);
        farOut += wo;
        farAft += wa;
        farMidOut += wo * midOut[i]!;
        farMidAft += wa * midAft[i]!;
    }
    const means = kitMeans(moves, (i) => moves.weight[i]! * robust[i]!);
    const vehicles = vehiclesOf(moves, robust, means);
    const [raw, error] = [zero(), zero()];
    const xy = { out: 0, aft: 0 };
    for (const vehicle of vehicles) {
        addTo(raw, vehicle.xx);
        addTo(error, vehicle.error);
        xy.out += vehicle.xy.out;
        xy.aft += vehicle.xy.aft;
    }
    const rank = rankOf(raw);
    const reliability = {
        out: isMoved(raw.oo) ? 1 - error.oo / raw.oo : null,
        aft: isMoved(raw.aa) ? 1 - error.aa / raw.aa : null,
    };
    const lowered = { oo: raw.oo - error.oo, oa: raw.oa - error.oa, aa: raw.aa - error.aa };
    const ratios = [reliability.out, reliability.aft].filter((ratio) => ratio !== null);
    const corrected = isCorrectable(lowered, rank, ratios);
    const xx = corrected ? lowered : raw;
    const used = invert(seen(xx, rank), rank);
    const solved = times(used, xy);
    const slope = {
        out: rank === 'full' || rank === 'out' ? solved.out : null,
        aft: rank === 'full' || rank === 'aft' ? solved.aft : null,
    };
    const clusters = vehicles.map((vehicle) => {
        const own = corrected
            ? {
                  oo: vehicle.xx.oo - vehicle.error.oo,
                  oa: vehicle.xx.oa - vehicle.error.oa,
                  aa: vehicle.xx.aa - vehicle.error.aa,
              }
            : vehicle.xx;
        const fittedScore = times(own, { out: slope.out ?? 0, aft: slope.aft ?? 0 });
        return {
            xx: vehicle.xx,
            lost: vehicle.lost,
            score: { out: vehicle.xy.out - fittedScore.out, aft: vehicle.xy.aft - fittedScore.aft },
        };
    });
    const { variance, df, left } = clusterRobust(seen(raw, rank), used, clusters);
    const factor = (weightSum / Math.max(slopeSum, 0.2 * weightSum)) ** 2;
    const usedVehicles = (key: 'oo' | 'aa') => vehicles.filter(({ xx }) => isMoved(xx[key])).length;
    // Where one vehicle carries most of what is known of an axis, as the one that moved across the slots of all others, its residuals, which
    // the fit takes to 0, cannot judge the slope.
    const judged = {
        out: usedVehicles('oo') >= 2 && slope.out !== null && left.out > 0.5,
        aft: usedVehicles('aa') >= 2 && slope.aft !== null && left.aft > 0.5,
    };
    return {
        rank,
        slope,
        variance: {
            oo: judged.out ? factor * variance.oo : null,
            oa: judged.out && judged.aft ? factor * variance.oa : null,
            aa: judged.aft ? factor * variance.aa : null,
        },
        df: { out: judged.out ? df.out : null, aft: judged.aft ? df.aft : null },
        xx,
        xy,
        noiseVariance: (scale * scale * weightSum) / priorSum / 0.95,
        reliability,
        corrected,
        movedCount: {
            out: vehicles.reduce((sum, { outCount }) => sum + outCount, 0),
            aft: vehicles.reduce((sum, { aftCount }) => sum + aftCount, 0),
        },
        movedVehicleCount: {
            out: vehicles.filter(({ outCount }) => outCount > 0).length,
            aft: vehicles.filter(({ aftCount }) => aftCount > 0).length,
        },
        downweightedCount,
        mid: {
            out: farOut > 0 ? farMidOut / farOut : null,
            aft: farAft > 0 ? farMidAft / farAft : null,
        },
    };
}
