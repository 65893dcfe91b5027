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
const STEP = 1 / 8;
const LOGS = Array.from({ length: 73 }, (_, i) => -3 + i * STEP);

interface Explained {
    logDensity: number;
    /** Expected squared noise of each angle, deg2. */
    squares: number[];
    /** Of its variance, how much the factors leave open, deg2. */
    open: number[];
}

/** The move where its places err by `ratio`: two normal factors with known loadings, marginal density and what is left for noise. */
function explained({ angles }: PointerMove, ratio: number, factors: readonly number[]): Explained {
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
    const open = angles.map(({ loadings: [x, y] }) => (x * x * bb - 2 * x * y * ab + y * y * aa) / det);
    return {
        open,
        logDensity: -(square - a * first - b * second + logs + Math.log(det * ratio * ratio)) / 2,
        squares: angles.map(({ residual, loadings: [x, y] }, i) => {
            const rest = residual - x * first - y * second;
            return rest * rest + open[i]!;
        }),
    };
}

/**
 * The log-likelihood of `ratio` at `factors`, the factors that follow by one step of expectation and maximisation, and what moves and prior tell of
 * the log of each (Fisher information, that between factors left out).
 */
function step(moves: readonly PointerMove[], ratio: number, factors: readonly number[]) {
    const sums = factors.map(() => NOISE_MOVES);
    const counts = factors.map(() => NOISE_MOVES);
    const information = factors.map(() => NOISE_MOVES / 2);
    let logLikelihood = 0;
    for (const factor of factors) logLikelihood -= (NOISE_MOVES / 2) * (Math.log(factor) + 1 / factor);
    for (const move of moves) {
        const held = explained(move, ratio, factors);
        const slipped = explained(move, ratio + move.slipRatio, factors);
        const odds = (SLIPPED / (1 - SLIPPED)) * Math.exp(slipped.logDensity - held.logDensity);
        const share = odds === Infinity ? 1 : odds / (1 + odds);
        logLikelihood +=
            odds === Infinity ? slipped.logDensity + Math.log(SLIPPED) : held.logDensity + Math.log1p(odds);
        for (const [i, { angle, variance }] of move.angles.entries()) {
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
 * sql/slopes/pointer_errors. The noise of each angle is integrated out
 * (Laplace's approximation).
 */
export function pointerError(moves: readonly PointerMove[], angleCount: number): PointerError {
    let factors = Array.from({ length: angleCount }, () => 1);
    const settle = (ratio: number) => {
        ({ factors } = step(moves, ratio, factors));
    };
    for (let round = 0; round < 8; round++) settle(Math.exp(LOGS[0]!));
    const logs = LOGS.map((log) => {
        const ratio = Math.exp(log);
        // From one ratio to the next the factors change little.
        settle(ratio);
        const deviate = (log + (PRIOR_SD * PRIOR_SD) / 2) / PRIOR_SD;
        const { logLikelihood, information } = step(moves, ratio, factors);
        const unsure = information.reduce((sum, told) => sum + Math.log(told) / 2, 0);
        return logLikelihood - unsure - (deviate * deviate) / 2;
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
