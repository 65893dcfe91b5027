import { betaCdf } from '../beta.js';
import { toleranceFactor } from '../toleranceFactor.js';
import { rowsOf, type TableFunction } from './batch.js';

/** What the query gives of the corners that a target sets on one axis; NaN for NULL. */
type Sums = Readonly<Record<string, number>>;

/** A computed number, null where what it is made from is missing. */
const known = (value: number | undefined) => (Number.isFinite(value) ? value! : null);

/** Variances and counts of independent corners: what the corners of one car have in common (rho) counts once. */
function estimates(of: Sums) {
    const [n, rho, noise] = [of.corner_count!, of.rho!, of.noise_mm2!];
    const [means, variances, crossed] = [of.mean_count!, of.var_count!, of.cross_count! * of.cross_count!];
    const nRead = (n / (n + 2 * of.pair_count! * rho)) * (means - crossed / (2 * variances));
    const dfRead = (n / (n + 2 * of.pair_count! * rho * rho)) * (variances - crossed / (2 * means)) - 1;
    const isEnough = of.vehicle_count! > 1 && nRead > 1 && dfRead > 0;
    const varRead = isEnough ? of.var_ml! / (1 - 1 / nRead) : Number.NaN;
    const varTrue = noise < 0.9 * varRead ? varRead - noise : Number.NaN;
    const meanVar = varRead / nRead + of.slope_error_mm2! + of.bias_mm2!;
    const trueShare = varTrue / varRead;
    const df =
        1 /
        (1 / (dfRead * (trueShare * trueShare)) +
            2 * of.slope_share_var! * (of.through_slopes! * of.through_slopes!));
    return { varRead, varTrue, meanVar, df };
}

/**
 * Distribution-free interval for 95 % of cars with 95 % confidence from values in order: as many order statistics as can be left out at
 * both ends together, the share between n - k of n cars following beta(n + 1 - k, k). Undefined where there are too few.
 */
function freeInterval(needs: readonly number[], cars: number): (number | undefined)[] {
    let out = 1;
    while (1 - betaCdf(0.95, cars - out, out + 1) >= 0.95) out++;
    const place = (k: number) => Math.floor((k * (needs.length + 1)) / (cars + 1));
    const below = Math.floor(out / 2);
    return out < 2 ? [] : [needs[place(below) - 1], needs[needs.length - place(out - below)]];
}

/** What offset range a target needs, from the moments of the needed offsets of its corners. */
export const neededSpreads: TableFunction = async function* (batches) {
    for await (const { chassis, target, axis, needs, ...values } of rowsOf(batches)) {
        const of = Object.fromEntries(
            Object.entries({ ...values, through_slopes: values.through_slopes ?? 0 }).map(([name, value]) => [
                name,
                value === null ? Number.NaN : Number(value),
            ]),
        );
        const { varRead, varTrue, meanVar, df } = estimates(of);
        const worth = varTrue / meanVar;
        // With less than one degree of freedom the interval is wider than any tower.
        const factor =
            Number.isNaN(worth + df) || df < 1 ? Number.NaN : toleranceFactor(worth, df, 0.95, 0.95);
        const reach = factor * Math.sqrt(varTrue);
        const [freeLow, freeHigh] = freeInterval(needs as readonly number[], of.vehicle_count!);
        const missing = [
            [values.mean_mm === null, 'fewer than 2 corners are not at the end of their scale'],
            [of.vehicle_count! < 2, 'one car tells nothing of others'],
            [Number.isNaN(meanVar), 'too many corners are at the end of their scale'],
            [Number.isNaN(varTrue), 'the spread is no larger than the noise of the readings'],
            [df < 1, 'too few corners to tell what spread is left without the noise of the readings'],
        ] as const;
        yield {
            chassis: chassis!,
            target: target!,
            axis: axis!,
            corner_count: of.corner_count!,
            vehicle_count: of.vehicle_count!,
            censored_count: of.censored_count!,
            set_apart_count: of.set_apart_count!,
            mean_mm: known(of.mean_mm),
            std_error_mm: known(Math.sqrt(meanVar)),
            sd_read_mm: known(Math.sqrt(varRead)),
            sd_noise_mm: known(Math.sqrt(of.noise_mm2!)),
            sd_mm: known(Math.sqrt(varTrue)),
            sd_bias_mm: known(Math.sqrt(of.bias_mm2!)),
            sd_slopes_mm: known(Math.sqrt(of.slope_error_mm2!)),
            rho: of.rho!,
            n_mean: known(worth),
            df: known(df),
            tolerance_factor: known(factor),
            low_mm: known(of.mean_mm! - reach),
            high_mm: known(of.mean_mm! + reach),
            free_low_mm: known(freeLow),
            free_high_mm: known(freeHigh),
            free_count_needed: 93,
            missing: missing.find(([is]) => is)?.[1] ?? null,
        };
    }
};
