import { median } from './median.js';
import type { Moves, Pair } from './plane.js';

/** Who read the two states of each move: null where one gauge read both. */
export interface Readers {
    from: readonly (number | null)[];
    to: readonly (number | null)[];
}

/**
 * The moves with the steps between gauges made to take no part in the slopes: a random constant of variance `stepVariance` (deg2) for each
 * two gauges. With s the root of the weights, errors have the covariance noise * 1 + step * s s' in moves scaled by s; its inverse root takes the
 * share 1 - sqrt(noise / (noise + step * sum of weights)) of the weighted means off (generalised least squares of a random intercept). Moves over
 * 4 robust standard deviations from the others, judged by `prior` slopes, take no part in the means. A move from the second gauge to the first
 * counts the other way round, which changes nothing about its slopes. Moves by one gauge stay as they are.
 */
export function withoutSteps(
    moves: Moves,
    readers: Readers,
    prior: Pair,
    stepVariance: number,
    noiseVariance: number,
): Moves {
    const groups = new Map<string, number[]>();
    for (const [i, from] of readers.from.entries()) {
        const to = readers.to[i]!;
        if (from === null || to === null) continue;
        const key = from < to ? `${from} ${to}` : `${to} ${from}`;
        const group = groups.get(key);
        if (group === undefined) groups.set(key, [i]);
        else group.push(i);
    }
    if (groups.size === 0) return moves;
    const [out, aft, change] = [moves.out.slice(), moves.aft.slice(), moves.change.slice()];
    for (const members of groups.values()) {
        for (const i of members) {
            if (readers.from[i]! < readers.to[i]!) continue;
            out[i] = -out[i]!;
            aft[i] = -aft[i]!;
            change[i] = -change[i]!;
        }
        const rest = members.map((i) => change[i]! - prior.out * out[i]! - prior.aft * aft[i]!);
        const middle = median(Float64Array.from(rest))!;
        const spread = Math.max(
            1.4826 * median(Float64Array.from(rest, (value) => Math.abs(value - middle)))!,
            Math.sqrt(noiseVariance),
        );
        const sums = { weight: 0, out: 0, aft: 0, change: 0 };
        for (const [k, i] of members.entries()) {
            if (Math.abs(rest[k]! - middle) > 4 * spread) continue;
            const weight = moves.weight[i]!;
            sums.weight += weight;
            sums.out += weight * out[i]!;
            sums.aft += weight * aft[i]!;
            sums.change += weight * change[i]!;
        }
        const share = 1 - Math.sqrt(noiseVariance / (noiseVariance + stepVariance * sums.weight));
        for (const i of members) {
            out[i] = out[i]! - (share * sums.out) / sums.weight;
            aft[i] = aft[i]! - (share * sums.aft) / sums.weight;
            change[i] = change[i]! - (share * sums.change) / sums.weight;
        }
    }
    return { ...moves, out, aft, change };
}
