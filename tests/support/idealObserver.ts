import type { Angles } from '../../fixtures/physics/corner.js';

const names = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;

/** A reading of a corner as the observer of a whole record sees it. */
export interface Observed {
    /** What was read less what would be true without any slip since the bearing was set, deg. */
    residual: Angles;
    /** Standard deviation of a reading with its set-up, deg. */
    sd: Angles;
    /** What a millimetre along the slot changes, exact physics, deg/mm. */
    slope: Angles;
    /** What lies between this reading and the next: a session, or that the bearing was put where its pointer says. */
    next: 'session' | 'set';
}

/** Millimetres from where the pointer says. */
const step = 0.1;
const most = 200;
const count = 2 * most + 1;

/** Convolution with the density of a slip: 1.5 to 5 mm either way, uniform. */
function slippedBy(density: Float64Array): Float64Array {
    const sums = new Float64Array(count + 1);
    for (let i = 0; i < count; i++) sums[i + 1] = sums[i]! + density[i]!;
    const sum = (from: number, to: number) =>
        sums[Math.max(0, Math.min(count, to + 1))]! - sums[Math.max(0, Math.min(count, from))]!;
    const [near, far] = [Math.round(1.5 / step), Math.round(5 / step)];
    const width = 2 * (far - near + 1);
    return density.map((_, i) => (sum(i - far, i - near) + sum(i + near, i + far)) / width);
}

function likelihood({ residual, sd, slope }: Observed): Float64Array {
    const logs = Float64Array.from({ length: count }, (_, i) =>
        names.reduce((log, name) => {
            const z = (residual[name] - (i - most) * step * slope[name]) / sd[name];
            return log - (z * z) / 2;
        }, 0),
    );
    const top = Math.max(...logs);
    return logs.map((log) => Math.exp(log - top));
}

const still = () => {
    const density = new Float64Array(count);
    density[most] = 1;
    return density;
};

const scaled = (density: Float64Array) => {
    const sum = density.reduce((all, one) => all + one, 0);
    return density.map((one) => one / sum);
};

/**
 * Probability that the bearing slipped over each session of a corner's record, for an observer who knows what the program has to learn: the
 * true angles as set, the slopes of this very corner, the noise, how often bearings slip and by how much, and that nothing else happens. Exact:
 * forward and backward sums over a grid of 0.1 mm, by the place of the reading before the session.
 */
export function idealSlips(record: readonly Observed[], slipShare: number): Map<number, number> {
    const seen = record.map(likelihood);
    const before: Float64Array[] = [];
    let reached = still();
    for (const [i, { next }] of record.entries()) {
        const here = scaled(reached.map((one, k) => one * seen[i]![k]!));
        before.push(here);
        const slid = slippedBy(here);
        reached =
            next === 'set' ? still() : here.map((one, k) => (1 - slipShare) * one + slipShare * slid[k]!);
    }
    const found = new Map<number, number>();
    let after = new Float64Array(count).fill(1);
    for (let i = record.length - 1; i >= 0; i--) {
        if (record[i]!.next === 'session' && i < record.length - 1) {
            const dot = (density: Float64Array) => density.reduce((sum, one, k) => sum + one * after[k]!, 0);
            const [held, slid] = [(1 - slipShare) * dot(before[i]!), slipShare * dot(slippedBy(before[i]!))];
            found.set(i, slid / (held + slid));
        }
        const back = slippedBy(after);
        const carried =
            record[i]!.next === 'set'
                ? new Float64Array(count).fill(after[most]!)
                : after.map((one, k) => (1 - slipShare) * one + slipShare * back[k]!);
        after = scaled(carried.map((one, k) => one * seen[i]![k]!));
    }
    return found;
}
