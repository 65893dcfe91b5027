/** One number for each of camber, caster, SAI and toe (deg), the pointer's place outboard and rearward, and the ride height (mm), in this order. */
export type Vector = number[];

/** Doubles, which an array of whole numbers would not be to the engine. */
const blank = [0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5];

export function vector(
    camber: number,
    caster: number,
    sai: number,
    toe: number,
    out = 0,
    aft = 0,
    height = 0,
): Vector {
    const made = blank.slice();
    made[0] = camber;
    made[1] = caster;
    made[2] = sai;
    made[3] = toe;
    made[4] = out;
    made[5] = aft;
    made[6] = height;
    return made;
}

/** Of these, camber, caster, SAI and toe. */
export const ANGLES = 4;

export const nothing = vector(0, 0, 0, 0);

/** Changes of a corner over a session. */
export interface Changes {
    /** Places of what was read before and after. */
    read: number[];
    values: Vector;
    /** Variances of the changes when nothing happened. */
    variances: Vector;
}

/** What may have caused changes: two effects of unknown sizes, of which {@link nothing} is one, and the variances that come with it. */
export class Cause {
    /** Changes for a size of 1 in the first and the second direction. */
    readonly first: Vector;
    readonly second: Vector;
    /** Variances by size squared, from what is not known of the effects. */
    readonly unknown: Vector;
    /** Variances besides, whatever the size. */
    readonly misread: Vector;

    constructor(first: Vector, second: Vector, unknown: Vector, misread: Vector) {
        this.first = first;
        this.second = second;
        this.unknown = unknown;
        this.misread = misread;
    }
}

/** Normal densities of the sizes in the two directions of a cause, about each pair of means with one variance. */
export class Sizes {
    readonly first: Float64Array;
    readonly second: Float64Array;
    readonly weights: Float64Array;
    readonly variance: number;
    /** Mean square of the size. */
    readonly square: number;

    constructor(
        means: readonly (readonly [number, number])[],
        weights: readonly number[],
        variance: number,
        square: number,
    ) {
        this.first = Float64Array.from(means, ([first]) => first);
        this.second = Float64Array.from(means, ([, second]) => second);
        this.weights = Float64Array.from(weights);
        this.variance = variance;
        this.square = square;
    }
}

const noEffects: readonly Vector[] = [];

/** Means of sizes, and effects that corners share, at the most. */
const MOST = { means: 8, effects: 8 };

/**
 * What changes say of the size z of an effect that corners share, as of a cause on the whole car, for each mean of their own cause's
 * sizes: -2 ln likelihood = deviance - 2 z linear + z^2 quadratic, constants left out that all causes share. Several such effects, each
 * by itself, are taken at once.
 */
export class Evidence {
    /** By mean. */
    readonly deviances = new Float64Array(MOST.means);
    /** By effect, and mean. */
    readonly linears = Array.from({ length: MOST.effects }, () => new Float64Array(MOST.means));
    /** By effect. */
    readonly quadratics = new Float64Array(MOST.effects);

    /**
     * Takes the evidence of `changes` y of noise N, `moreSquare` times `more` of it from the shared effects, under `cause`, whose sizes are integrated out:
     * y is normal about A m + a z with covariance N + s A A', where A are the two effects of the cause, m a mean of the sizes, s their
     * variance and a a shared effect (Woodbury: the inverse needs that of the 2 x 2 matrix I + s A'N^-1 A only). Runs a hundred times a
     * session: plain variables, nothing allocated.
     */
    take(
        changes: Changes,
        cause: Cause,
        sizes: Sizes,
        effects: readonly Vector[] = noEffects,
        more: Vector = nothing,
        moreSquare = 1,
    ): void {
        const { read, values, variances } = changes;
        const { first, second, unknown, misread } = cause;
        const s = sizes.variance;
        let yy = 0;
        let det = 1;
        let y1 = 0;
        let y2 = 0;
        let q11 = 0;
        let q12 = 0;
        let q22 = 0;
        for (let k = 0; k < read.length; k++) {
            const i = read[k]!;
            const noise = variances[i]! + misread[i]! + sizes.square * unknown[i]! + moreSquare * more[i]!;
            const weight = 1 / noise;
            const y = values[i]!;
            const one = first[i]!;
            const two = second[i]!;
            weights[i] = weight;
            det *= noise;
            yy += weight * y * y;
            y1 += weight * one * y;
            y2 += weight * two * y;
            q11 += weight * one * one;
            q12 += weight * one * two;
            q22 += weight * two * two;
        }
        const inner = (1 + s * q11) * (1 + s * q22) - s * q12 * (s * q12);
        const g11 = (1 + s * q22) / inner;
        const g12 = (-s * q12) / inner;
        const g22 = (1 + s * q11) / inner;
        const base = yy + Math.log(det * inner);
        const count = sizes.first.length;
        for (let k = 0; k < count; k++) {
            const m1 = sizes.first[k]!;
            const m2 = sizes.second[k]!;
            const r1 = y1 - q11 * m1 - q12 * m2;
            const r2 = y2 - q12 * m1 - q22 * m2;
            const h1 = g11 * r1 + g12 * r2;
            const h2 = g12 * r1 + g22 * r2;
            this.deviances[k] = base - m1 * (y1 + r1) - m2 * (y2 + r2) - s * (r1 * h1 + r2 * h2);
            pulls1[k] = m1 + s * h1;
            pulls2[k] = m2 + s * h2;
        }
        for (let e = 0; e < effects.length; e++) {
            const effect = effects[e]!;
            let ay = 0;
            let a1 = 0;
            let a2 = 0;
            let aa = 0;
            for (let k = 0; k < read.length; k++) {
                const i = read[k]!;
                const a = effect[i]!;
                const weighted = weights[i]! * a;
                ay += weighted * values[i]!;
                a1 += weighted * first[i]!;
                a2 += weighted * second[i]!;
                aa += weighted * a;
            }
            const linear = this.linears[e]!;
            for (let k = 0; k < count; k++) linear[k] = ay - a1 * pulls1[k]! - a2 * pulls2[k]!;
            this.quadratics[e] = aa - s * (g11 * a1 * a1 + 2 * g12 * a1 * a2 + g22 * a2 * a2);
        }
    }
}

const weights = new Float64Array(nothing.length);
const [pulls1, pulls2] = [new Float64Array(MOST.means), new Float64Array(MOST.means)];

/** ln of a sum of exponentials, without overflow. */
export class LogSum {
    #top = Number.NEGATIVE_INFINITY;
    #sum = 0;

    add(log: number, weight: number): void {
        if (log === Number.NEGATIVE_INFINITY) return;
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
