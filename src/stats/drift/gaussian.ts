/** One number for each of camber, caster, SAI and toe (deg) and the pointer's place outboard and rearward (mm), in this order. */
export type Vector = readonly number[];

/** Changes of a corner over a session. */
export interface Changes {
    /** Places of what was read before and after. */
    read: readonly number[];
    values: Vector;
    /** Variances of the changes when nothing happened. */
    variances: Vector;
}

/**
 * What changes y with noise of variances N say of effects A (columns) of unknown sizes: `deviance` y'N^-1 y + ln|N|, `linear` A'N^-1 y,
 * `quadratic` A'N^-1 A.
 */
export interface Evidence {
    deviance: number;
    linear: readonly number[];
    quadratic: readonly (readonly number[])[];
}

/** Evidence of `changes` on `effects`, which add the variances `more` to the noise. */
export function evidence(
    { read, values, variances }: Changes,
    more: Vector,
    effects: readonly Vector[],
): Evidence {
    let [square, det] = [0, 1];
    const linear = effects.map(() => 0);
    const quadratic = effects.map(() => effects.map(() => 0));
    for (const i of read) {
        const variance = variances[i]! + more[i]!;
        const weighted = values[i]! / variance;
        det *= variance;
        square += weighted * values[i]!;
        for (let a = 0; a < effects.length; a++) {
            const effect = effects[a]![i]!;
            linear[a]! += effect * weighted;
            for (let b = 0; b <= a; b++) quadratic[a]![b]! += (effect * effects[b]![i]!) / variance;
        }
    }
    for (let a = 0; a < effects.length; a++) {
        for (let b = 0; b < a; b++) quadratic[b]![a] = quadratic[a]![b]!;
    }
    return { deviance: square + Math.log(det), linear, quadratic };
}

/** Evidence on the effects of `own`, the last of which is that of `others` too. */
export function together(own: Evidence, others: readonly Evidence[]): Evidence {
    const last = own.linear.length - 1;
    let { deviance } = own;
    const linear = [...own.linear];
    const bottom = [...own.quadratic[last]!];
    for (const other of others) {
        deviance += other.deviance;
        linear[last]! += other.linear[0]!;
        bottom[last]! += other.quadratic[0]![0]!;
    }
    return { deviance, linear, quadratic: [...own.quadratic.slice(0, last), bottom] };
}

/**
 * Logarithms of the marginal likelihoods, constants left out that all causes share, where the sizes of the effects are normal and
 * independent with standard deviations `sds` about each of `means`: density of y at N(A m, N + A S A'), by the Cholesky factor of
 * I + S^1/2 A'N^-1 A S^1/2 (Woodbury).
 */
export function logLikelihoods(
    { deviance, linear, quadratic }: Evidence,
    sds: readonly number[],
    means: readonly (readonly number[])[],
): number[] {
    const count = linear.length;
    const factor: number[][] = [];
    let root = 1;
    for (let a = 0; a < count; a++) {
        const row: number[] = [];
        factor.push(row);
        for (let b = 0; b <= a; b++) {
            let value = sds[a]! * quadratic[a]![b]! * sds[b]! + (a === b ? 1 : 0);
            for (let c = 0; c < b; c++) value -= row[c]! * factor[b]![c]!;
            row.push(a === b ? Math.sqrt(value) : value / factor[b]![b]!);
        }
        root *= row[a]!;
    }
    const without = deviance + 2 * Math.log(root);
    return means.map((mean) => {
        let at = without;
        const solved: number[] = [];
        for (let a = 0; a < count; a++) {
            let left = linear[a]!;
            for (let b = 0; b < count; b++) left -= quadratic[a]![b]! * mean[b]!;
            at -= mean[a]! * (linear[a]! + left);
            let value = sds[a]! * left;
            for (let c = 0; c < a; c++) value -= factor[a]![c]! * solved[c]!;
            value /= factor[a]![a]!;
            solved.push(value);
            at -= value * value;
        }
        return -at / 2;
    });
}

/** ln of the sum of `weights` times the exponentials of `logs`, without overflow; -Infinity where there is nothing. */
export function logSum(logs: readonly number[], weights?: readonly number[]): number {
    const top = Math.max(...logs);
    if (top === Number.NEGATIVE_INFINITY) return top;
    let sum = 0;
    for (let i = 0; i < logs.length; i++) sum += (weights?.[i] ?? 1) * Math.exp(logs[i]! - top);
    return top + Math.log(sum);
}
