import { gammaLn } from '../gammaLn.js';

/** A CR2 variance with `df` degrees of freedom over the model variance of the same slope. */
export interface Ratio {
    ratio: number;
    df: number;
}

/** How far the model variances can be trusted. */
interface ModelTrust {
    /** A typical CR2 variance in units of the model variance. */
    dispersion: number;
    /** Degrees of freedom that the model variance is worth beside a CR2 variance. */
    df: number;
}

const THIRDS = [1, Math.cbrt(2), Math.cbrt(4)];

/** Values tried, a third of an octave apart; doubled exactly. */
function steps(from: number, to: number): number[] {
    const values: number[] = [];
    for (let octave = from; octave < to; octave *= 2) values.push(...THIRDS.map((third) => octave * third));
    return [...values, to];
}
const DISPERSIONS = steps(1 / 16, 16);
const DFS = steps(1 / 2, 4);

/** Logarithm of the density of F(df, trust.df) times the dispersion at `ratio`, without what no candidate changes. */
function logDensity({ ratio, df }: Ratio, { dispersion, df: worth }: ModelTrust, constant: number): number {
    const scaled = (df * ratio) / (dispersion * worth);
    return constant + (df / 2) * Math.log(scaled) - ((df + worth) / 2) * Math.log1p(scaled);
}

/**
 * Empirical Bayes for variances: true variances scatter about the model's as a scaled inverse chi-square, so that the ratios follow a
 * scaled F distribution, whose two numbers are taken at the mode (Smyth 2004, Statistical Applications in Genetics and Molecular
 * Biology 3, article 3, by likelihood where he takes moments). Where few tell, the priors do: dispersion 1, within a factor of 2
 * in two of three cases, and a worth of 4. Gauges of unlike noise make the worth less; it is never more than 4, for both variances come
 * from the same residuals and so agree better than two independent ones.
 */
export function modelTrust(ratios: readonly Ratio[]): ModelTrust {
    let best = { dispersion: 1, df: 4 };
    let most = -Infinity;
    for (const worth of DFS) {
        const constants = ratios.map(
            ({ df }) => gammaLn((df + worth) / 2) - gammaLn(df / 2) - gammaLn(worth / 2),
        );
        for (const dispersion of DISPERSIONS) {
            const trust = { dispersion, df: worth };
            let sum =
                -((Math.log(dispersion) / Math.log(2)) ** 2) / 2 -
                (Math.log(worth / 4) / Math.log(3)) ** 2 / 2;
            for (const [i, one] of ratios.entries()) sum += logDensity(one, trust, constants[i]!);
            if (sum > most) [best, most] = [trust, sum];
        }
    }
    return best;
}
