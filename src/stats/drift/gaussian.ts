/** One number for each of camber, caster, SAI and toe (deg) and the pointer's place outboard and rearward (mm), in this order. */
export type Vector = readonly number[];

export const nothing: Vector = [0, 0, 0, 0, 0, 0];

/** Changes of a corner over a session. */
export interface Changes {
    /** Places of what was read before and after. */
    read: readonly number[];
    values: Vector;
    /** Variances of the changes when nothing happened. */
    variances: Vector;
}

/** What may have caused changes: two effects of unknown sizes, of which {@link nothing} is one, and the variances that come with it. */
export interface Cause {
    /** Changes for a size of 1 in the first and the second direction. */
    first: Vector;
    second: Vector;
    /** Variances by size squared, from what is not known of the effects. */
    unknown: Vector;
    /** Variances besides, whatever the size. */
    misread: Vector;
}

/** Normal densities of the sizes in the two directions of a cause, about each of `means` with one variance. */
export interface Sizes {
    means: readonly (readonly [number, number])[];
    weights: readonly number[];
    variance: number;
    /** Mean square of the size. */
    square: number;
}

/** An effect that several corners share: of a cause on the whole car. */
export interface SharedEffect {
    effect: Vector;
    /** Variances that come with it. */
    more: Vector;
}

/**
 * What changes say of the size z of a shared effect, for each mean of their own cause's sizes, weighted by the densities' weights:
 * -2 ln likelihood = deviance - 2 z linear + z^2 quadratic, constants left out that all causes share.
 */
export interface Evidence {
    deviances: readonly number[];
    linears: readonly number[];
    quadratic: number;
}

const unshared: SharedEffect = { effect: nothing, more: nothing };

/**
 * Evidence of `changes` y of noise N under `cause`, whose sizes are integrated out: y is normal about A m + a z with covariance
 * N + s A A', where A are the two effects, m a mean of the sizes, s their variance and a the shared effect (Woodbury: the inverse needs
 * that of the 2 x 2 matrix I + s A'N^-1 A only).
 */
export function evidence(
    { read, values, variances }: Changes,
    { first, second, unknown, misread }: Cause,
    { means, variance: s, square }: Sizes,
    { effect, more }: SharedEffect = unshared,
): Evidence {
    let [yy, det] = [0, 1];
    let [y1, y2, q11, q12, q22] = [0, 0, 0, 0, 0];
    let [ay, a1, a2, aa] = [0, 0, 0, 0];
    for (const i of read) {
        const noise = variances[i]! + misread[i]! + square * unknown[i]! + more[i]!;
        const [y, one, two, a] = [values[i]!, first[i]!, second[i]!, effect[i]!];
        const [w1, w2, wa] = [one / noise, two / noise, a / noise];
        det *= noise;
        yy += (y * y) / noise;
        y1 += w1 * y;
        y2 += w2 * y;
        q11 += w1 * one;
        q12 += w1 * two;
        q22 += w2 * two;
        ay += wa * y;
        a1 += wa * one;
        a2 += wa * two;
        aa += wa * a;
    }
    const inner = (1 + s * q11) * (1 + s * q22) - s * q12 * (s * q12);
    const [g11, g12, g22] = [(1 + s * q22) / inner, (-s * q12) / inner, (1 + s * q11) / inner];
    const base = yy + Math.log(det * inner);
    const deviances: number[] = [];
    const linears: number[] = [];
    for (const [m1, m2] of means) {
        const [r1, r2] = [y1 - q11 * m1 - q12 * m2, y2 - q12 * m1 - q22 * m2];
        const [h1, h2] = [g11 * r1 + g12 * r2, g12 * r1 + g22 * r2];
        deviances.push(base - m1 * (y1 + r1) - m2 * (y2 + r2) - s * (r1 * h1 + r2 * h2));
        linears.push(ay - a1 * m1 - a2 * m2 - s * (a1 * h1 + a2 * h2));
    }
    return {
        deviances,
        linears,
        quadratic: aa - s * (g11 * a1 * a1 + 2 * g12 * a1 * a2 + g22 * a2 * a2),
    };
}

/** ln of the sum of `weights` times the exponentials of `logs`, without overflow; -Infinity where there is nothing. */
export function logSum(logs: readonly number[], weights: readonly number[]): number {
    const top = Math.max(...logs);
    if (top === Number.NEGATIVE_INFINITY) return top;
    let sum = 0;
    for (let i = 0; i < logs.length; i++) sum += weights[i]! * Math.exp(logs[i]! - top);
    return top + Math.log(sum);
}
