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

/** Normal densities of the sizes in the two directions of a cause, about each pair of means with one variance. */
export interface Sizes {
    first: readonly number[];
    second: readonly number[];
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

const unshared: SharedEffect = { effect: nothing, more: nothing };

/** Means of sizes at the most. */
const MOST = 8;

/**
 * What changes say of the size z of a shared effect, for each mean of their own cause's sizes: -2 ln likelihood = deviance
 * - 2 z linear + z^2 quadratic, constants left out that all causes share.
 */
export class Evidence {
    readonly deviances = new Float64Array(MOST);
    readonly linears = new Float64Array(MOST);
    quadratic = 0;

    /**
     * Takes the evidence of `changes` y of noise N under `cause`, whose sizes are integrated out: y is normal about A m + a z with
     * covariance N + s A A', where A are the two effects, m a mean of the sizes, s their variance and a the shared effect (Woodbury: the
     * inverse needs that of the 2 x 2 matrix I + s A'N^-1 A only). Runs a hundred times a session: plain variables, nothing allocated.
     */
    take(changes: Changes, cause: Cause, sizes: Sizes, shared: SharedEffect = unshared): this {
        const { read, values, variances } = changes;
        let yy = 0;
        let det = 1;
        let y1 = 0;
        let y2 = 0;
        let q11 = 0;
        let q12 = 0;
        let q22 = 0;
        let ay = 0;
        let a1 = 0;
        let a2 = 0;
        let aa = 0;
        for (let k = 0; k < read.length; k++) {
            const i = read[k]!;
            const noise =
                variances[i]! + cause.misread[i]! + sizes.square * cause.unknown[i]! + shared.more[i]!;
            const weight = 1 / noise;
            const y = values[i]!;
            const one = cause.first[i]!;
            const two = cause.second[i]!;
            const a = shared.effect[i]!;
            det *= noise;
            yy += weight * y * y;
            y1 += weight * one * y;
            y2 += weight * two * y;
            q11 += weight * one * one;
            q12 += weight * one * two;
            q22 += weight * two * two;
            ay += weight * a * y;
            a1 += weight * a * one;
            a2 += weight * a * two;
            aa += weight * a * a;
        }
        const s = sizes.variance;
        const inner = (1 + s * q11) * (1 + s * q22) - s * q12 * (s * q12);
        const g11 = (1 + s * q22) / inner;
        const g12 = (-s * q12) / inner;
        const g22 = (1 + s * q11) / inner;
        const base = yy + Math.log(det * inner);
        for (let k = 0; k < sizes.first.length; k++) {
            const m1 = sizes.first[k]!;
            const m2 = sizes.second[k]!;
            const r1 = y1 - q11 * m1 - q12 * m2;
            const r2 = y2 - q12 * m1 - q22 * m2;
            const h1 = g11 * r1 + g12 * r2;
            const h2 = g12 * r1 + g22 * r2;
            this.deviances[k] = base - m1 * (y1 + r1) - m2 * (y2 + r2) - s * (r1 * h1 + r2 * h2);
            this.linears[k] = ay - a1 * m1 - a2 * m2 - s * (a1 * h1 + a2 * h2);
        }
        this.quadratic = aa - s * (g11 * a1 * a1 + 2 * g12 * a1 * a2 + g22 * a2 * a2);
        return this;
    }
}

/** ln of a sum of exponentials, without overflow. */
export class LogSum {
    #top = Number.NEGATIVE_INFINITY;
    #sum = 0;

    add(log: number, weight: number): void {
        if (log > this.#top) {
            this.#sum = this.#sum * Math.exp(this.#top - log) + weight;
            this.#top = log;
        } else this.#sum += weight * Math.exp(log - this.#top);
    }

    /** -Infinity where there is nothing. */
    get log(): number {
        return this.#top + Math.log(this.#sum);
    }
}
