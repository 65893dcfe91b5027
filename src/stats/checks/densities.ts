/** Normal density with mean 0 at x. */
const normal = (x: number, variance: number) =>
    Math.exp(-(x * x) / variance / 2) / Math.sqrt(2 * Math.PI * variance);

/** Cauchy density with scale 0.4 deg: of slips of some tenths as of mistyped whole degrees. */
const slip = (x: number) => 1 / (Math.PI * 0.4 * (1 + (x * x) / 0.16));

/** Numbers from `from` up to `to` are those of one comparison, an angle each: residuals (deg), and their variances (deg2); NaN = not compared. */
export type Measure = (
    residuals: ArrayLike<number>,
    variances: ArrayLike<number>,
    from?: number,
    to?: number,
) => number;

/**
 * Log density of a comparison. Once in ten times it is grossly wrong: each of its residuals is then normal or, half the time, a slip. So no
 * single wrong number decides between explanations of a record. 0 where nothing is compared.
 */
export const logMixed: Measure = (residuals, variances, from = 0, to = residuals.length) => {
    let good = 1;
    let gross = 1;
    for (let i = from; i < to; i++) {
        const x = residuals[i]!;
        const variance = variances[i]!;
        if (Number.isNaN(x + variance)) continue;
        const density = normal(x, variance);
        good *= density;
        gross *= (density + slip(x)) / 2;
    }
    return Math.log(0.9 * good + 0.1 * gross);
};

/** What an angle was found off by (deg), its variance (deg2), and how it follows the bearing along its way (deg/mm). */
export type Misfit = readonly [off: number, variance: number, along: number];

/** Probability that a bearing had slipped along its way before its place was written down, and the square of by how many mm (no source). */
const SLIPPED = 0.05;
const SLIP_MM2 = 9;

/** Log density of a comparison as in {@link logMixed}, whose bearing may also have slipped from where it was said to be at first. */
export function logSlipped(misfits: readonly Misfit[]): number {
    let [logGood, gross, square, slipped] = [0, 1, 0, 0];
    for (const [off, variance, along] of misfits) {
        logGood -= (off * off) / variance / 2 + Math.log(2 * Math.PI * variance) / 2;
        gross *= (normal(off, variance) + slip(off)) / 2;
        square += (along * along) / variance;
        slipped += (along * off) / variance;
    }
    // The slip is integrated out.
    const spread = 1 + SLIP_MM2 * square;
    const logSlip = logGood + (SLIP_MM2 * slipped * slipped) / spread / 2 - Math.log(spread) / 2;
    return Math.log((0.9 - SLIPPED) * Math.exp(logGood) + SLIPPED * Math.exp(logSlip) + 0.1 * gross);
}

/**
 * How much likelier, at most, a comparison can get by another explanation of the record that leaves its variances as they are: no less than
 * its logMixed at 0 less that at the residuals. Where these stay under the log of the prior odds in sum, the record as written is the
 * likelier. The product bounds ln(1 + u), u = 0.1 / 0.9 times the product of 1/2 + sqrt(variance), the gross density over the normal one at 0.
 */
export const misfit: Measure = (residuals, variances, from = 0, to = residuals.length) => {
    let sum = 0;
    let product = 1 / 9;
    for (let i = from; i < to; i++) {
        const x = residuals[i]!;
        const variance = variances[i]!;
        if (Number.isNaN(x + variance)) continue;
        sum += (x * x) / variance / 2;
        product *= 0.5 + Math.sqrt(variance);
    }
    return sum + product;
};

/** What an explanation that brings the variance of a residual down to `least` may add to that. */
export const varianceGain = (x: number, variance: number, least: number): number =>
    Number.isNaN(x + variance) ? 0 : Math.log(variance / least) / 2;

/** Probabilities of explanations from the logs of their weights. */
export function probabilities(logWeights: readonly number[]): number[] {
    const peak = Math.max(...logWeights);
    const weights = logWeights.map((weight) => Math.exp(weight - peak));
    const sum = weights.reduce((a, b) => a + b, 0);
    return weights.map((weight) => weight / sum);
}
