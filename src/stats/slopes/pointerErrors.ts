/** One angle of a move of the bearing. */
export interface MovedAngle {
    /** Number of the angle, from 0. */
    angle: number;
    /** What the slopes leave of the change, deg. */
    residual: number;
    /** Variance that the gauge leaves in the change, deg2. */
    variance: number;
    /** What two independent errors of the places, each with the variance of reading the pointers, do to the angle, deg. */
    loadings: readonly [number, number];
}

/** A move between two settings of the pointers. */
export interface PointerMove {
    angles: readonly MovedAngle[];
    /** Variance of a slip in that of reading the pointers. */
    slipRatio: number;
}

/** Variance of a place about its marks in that of reading the pointer: posterior mean and 95 % interval. */
export interface PointerError {
    ratio: number;
    low: number;
    high: number;
}

/** Standard deviation of the log of the ratio beforehand, whose mean is 1 (common practice, no source). */
const PRIOR_SD = 1.2;
/** How many moves a gauge's noise counts as (common practice, no source). */
const NOISE_MOVES = 5;
/** Moves in which the bearing slipped, as `downweighted_moves` has it (from memory). */
const SLIPPED = 1 / 200;
/** Logs of the ratios tried: 1/20 to 400. */
const STEP = 1 / 6;
const LOGS = Array.from({ length: 55 }, (_, i) => -3 + i * STEP);

/** By angle of a move, filled anew for each. */
interface Explained {
    /** Expected squared noise, deg2. */
    squares: Float64Array;
    /** Of its variance, how much the factors leave open, deg2. */
    open: Float64Array;
}

/** The log-density of the move where its places err by `ratio`, two normal factors with known loadings; what they leave for noise goes `into`. */
function explain({ angles }: PointerMove, ratio: number, factors: Float64Array, into: Explained): number {
    // Precision of the two factors given the angles, and the sums that their means follow from.
    let [aa, ab, bb] = [1 / ratio, 0, 1 / ratio];
    let [a, b, square, logs] = [0, 0, 0, 0];
    for (const { angle, residual, variance, loadings } of angles) {
        const noise = variance * factors[angle]!;
        aa += (loadings[0] * loadings[0]) / noise;
        ab += (loadings[0] * loadings[1]) / noise;
        bb += (loadings[1] * loadings[1]) / noise;
        a += (loadings[0] * residual) / noise;
        b += (loadings[1] * residual) / noise;
        square += (residual * residual) / noise;
        logs += Math.log(noise);
    }
    const det = aa * bb - ab * ab;
    const [first, second] = [(bb * a - ab * b) / det, (aa * b - ab * a) / det];
    for (let i = 0; i < angles.length; i++) {
        const { residual, loadings } = angles[i]!;
        const [x, y] = loadings;
        const rest = residual - x * first - y * second;
        into.open[i] = (x * x * bb - 2 * x * y * ab + y * y * aa) / det;
        into.squares[i] = rest * rest + into.open[i]!;
    }
    return -(square - a * first - b * second + logs + Math.log(det * ratio * ratio)) / 2;
}

const explained = (angleCount: number): Explained => ({
    squares: new Float64Array(angleCount),
    open: new Float64Array(angleCount),
});

/**
 * The log-likelihood of `ratio` at `factors`, the factors that follow by one step of expectation and maximisation, and what moves and prior tell of
 * the log of each (Fisher information, that between factors left out).
 */
function step(moves: readonly PointerMove[], ratio: number, factors: Float64Array) {
    const sums = factors.map(() => NOISE_MOVES);
    const counts = factors.map(() => NOISE_MOVES);
    const information = factors.map(() => NOISE_MOVES / 2);
    const [held, slipped] = [explained(factors.length), explained(factors.length)];
    let logLikelihood = 0;
    for (const factor of factors) logLikelihood -= (NOISE_MOVES / 2) * (Math.log(factor) + 1 / factor);
    for (const move of moves) {
        const ifHeld = explain(move, ratio, factors, held);
        const ifSlipped = explain(move, ratio + move.slipRatio, factors, slipped);
        const odds = (SLIPPED / (1 - SLIPPED)) * Math.exp(ifSlipped - ifHeld);
        const share = odds === Infinity ? 1 : odds / (1 + odds);
        logLikelihood += odds === Infinity ? ifSlipped + Math.log(SLIPPED) : ifHeld + Math.log1p(odds);
        for (let i = 0; i < move.angles.length; i++) {
            const { angle, variance } = move.angles[i]!;
            sums[angle]! += ((1 - share) * held.squares[i]! + share * slipped.squares[i]!) / variance;
            counts[angle]!++;
            const told = 1 - held.open[i]! / (variance * factors[angle]!);
            information[angle]! += (told * told) / 2;
        }
    }
    return { logLikelihood, information, factors: sums.map((sum, i) => sum / counts[i]!) };
}

/** The value below which `share` of `weights` lies, linear between the points of the grid. */
function quantile(weights: readonly number[], share: number): number {
    let sum = 0;
    for (const [i, weight] of weights.entries()) {
        if (sum + weight >= share) return Math.exp(LOGS[i]! + ((share - sum) / weight - 0.5) * STEP);
        sum += weight;
    }
    return Math.exp(LOGS.at(-1)!);
}

/**
 * How far bearings stand off their marks, from moves that were read in up to `angleCount` angles: ratio of variances, see
 * sql/slopes/pointer_errors. The noise of each angle is integrated out (Laplace's approximation).
 */
export function pointerError(moves: readonly PointerMove[], angleCount: number): PointerError {
    let factors = new Float64Array(angleCount).fill(1);
    const at = (log: number) => step(moves, Math.exp(log), factors);
    for (let round = 0; round < 8; round++) ({ factors } = at(LOGS[0]!));
    const logs = LOGS.map((log) => {
        const found = at(log);
        // Those of the ratio before: near its maximum the likelihood hardly feels the difference.
        ({ factors } = found);
        const unsure = found.information.reduce((sum, told) => sum + Math.log(told) / 2, 0);
        const deviate = (log + (PRIOR_SD * PRIOR_SD) / 2) / PRIOR_SD;
        return found.logLikelihood - unsure - (deviate * deviate) / 2;
    });
    const most = Math.max(...logs);
    const densities = logs.map((log) => Math.exp(log - most));
    const sum = densities.reduce((a, b) => a + b, 0);
    const weights = densities.map((density) => density / sum);
    return {
        ratio: weights.reduce((mean, weight, i) => mean + weight * Math.exp(LOGS[i]!), 0),
        low: quantile(weights, 0.025),
        high: quantile(weights, 0.975),
    };
}
