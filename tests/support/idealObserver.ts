import type { Angles } from '../../fixtures/physics/corner.js';

/** A reading of a corner as the observer of a whole record sees it. */
export interface Observed {
    /** What was read less what would be true without any slip since the bearing was set, deg. */
    residual: Angles;
    /** Standard deviation of a reading with its set-up, deg; Infinity where it was not read. */
    sd: Angles;
    /** What a millimetre along the slot changes, exact physics, deg/mm. */
    slope: Angles;
    /** What lies between this reading and the next: a session, or that the bearing was put where its pointer says. */
    next: 'session' | 'set';
    /** Number of the setting of the tie rods that it belongs to. */
    rods: number;
}

/** Places of the bearing, mm from where its pointer says. */
const step = 0.2;
const most = 80;
const count = 2 * most + 1;
/** Steps up to which the angles as set, as millimetres of slip, are looked for on both sides of the truth; toe by every second one. */
const unknown = { angles: 10, toe: 20 };
const margin = unknown.angles + unknown.toe;
const shiftsOf = (steps: number, every: number) =>
    Array.from({ length: (2 * steps) / every + 1 }, (_, i) => every * i - steps);

const [near, far] = [Math.round(1.5 / step), Math.round(5 / step)];
/** Sums of a density up to a place, those of no place before and behind. */
const sums = new Float64Array(count + 2 * far + 1);
const width = 2 * (far - near + 1);

/** Places from `first` to before `end`. */
interface Span {
    first: number;
    end: number;
}

/**
 * Density after a session into the places `into` of `to`: the bearing held, or slipped by 1.5 to 5 mm either way, uniform, with probability
 * `share`. Of `density` the places `from` count.
 */
function afterSession(density: Float64Array, from: Span, share: number, to: Float64Array, into: Span): void {
    sums.fill(0, 0, from.first + far + 1);
    for (let i = from.first; i < from.end; i++) sums[i + far + 1] = sums[i + far]! + density[i]!;
    sums.fill(sums[from.end + far]!, from.end + far + 1);
    for (let i = into.first; i < into.end; i++) {
        const slid = sums[i + far - near + 1]! - sums[i]! + sums[i + 2 * far + 1]! - sums[i + far + near]!;
        to[i] = (share * slid) / width;
    }
    const end = Math.min(from.end, into.end);
    for (let i = Math.max(from.first, into.first); i < end; i++) to[i]! += (1 - share) * density[i]!;
}

/** Likelihood of a reading by the place of the bearing with the shift of the angles as set, over its highest, of these angles. */
function likelihood({ residual, sd, slope }: Observed, angles: readonly (keyof Angles)[]): Float64Array {
    const logs = Float64Array.from({ length: count + 2 * margin }, (_, i) =>
        angles.reduce((log, name) => {
            const z = (residual[name] - (i - most - margin) * step * slope[name]) / sd[name];
            return log - (z * z) / 2;
        }, 0),
    );
    const top = logs.reduce((highest, log) => Math.max(highest, log));
    return logs.map((log) => Math.exp(log - top));
}

/** The bearing up to `mm` off its pointer, either way, uniform. */
function asSet(mm: number): Float64Array {
    const density = new Float64Array(count);
    const steps = Math.round(mm / step);
    density.fill(1 / (2 * steps + 1), most - steps, most + steps + 1);
    return density;
}

/** Where the likelihood of a reading is above 1e-30 of its highest, with a place at least. */
function spanOf(likely: Float64Array): Span {
    const isSeen = (value: number) => value > 1e-30;
    return { first: likely.findIndex(isSeen), end: likely.findLastIndex(isSeen) + 1 };
}

/** The span of the places of the bearing, where those of a likelihood are shifted. */
function placesOf({ first, end }: Span, shift: number): Span {
    const within = (i: number) => Math.max(0, Math.min(i - margin - shift, count));
    return { first: within(first), end: within(end) };
}

const rows = (length: number) => Array.from({ length }, () => new Float64Array(count));
const [seen, before, reached, later] = [rows(20), rows(20), rows(20), rows(20)];

/** Likelihood of `seen`, the readings from one setting to the next, and its part in which the bearing slipped after each but the last. */
function segmentOf(
    spans: readonly Span[],
    start: Float64Array,
    slipShare: number,
): { all: number; slipped: number[] } {
    const last = spans.length - 1;
    let all = 0;
    for (const [i, span] of spans.entries()) {
        const from = i === 0 ? start : reached[i]!;
        for (let k = span.first; k < span.end; k++) before[i]![k] = from[k]! * seen[i]![k]!;
        if (i < last) afterSession(before[i]!, span, slipShare, reached[i + 1]!, spans[i + 1]!);
        else for (let k = span.first; k < span.end; k++) all += before[i]![k]!;
    }
    const slipped = new Array<number>(last);
    let after = seen[last]!;
    let reaching = spans[last]!;
    for (let i = last - 1; i >= 0; i--) {
        const span = spans[i]!;
        afterSession(after, reaching, slipShare, later[i]!, span);
        let [here, held] = [0, 0];
        for (let k = span.first; k < span.end; k++) {
            here += before[i]![k]! * later[i]![k]!;
            if (k >= reaching.first && k < reaching.end) held += before[i]![k]! * after[k]!;
            later[i]![k]! *= seen[i]![k]!;
        }
        slipped[i] = here - (1 - slipShare) * held;
        all = here;
        after = later[i]!;
        reaching = span;
    }
    return { all, slipped };
}

/**
 * Probability that the bearing slipped over each session of a corner's record, for an observer who knows what the program has to learn: the
 * slopes of this very corner, the noise, how often bearings slip and by how much, that a setting puts the bearing within `pointer` mm of
 * where its pointer says, and that nothing else happens. Of the angles as set nothing is known but by the readings: camber, caster and SAI
 * of the whole record, toe of one setting of the tie rods. Sums over a grid of 0.2 mm by the place of the bearing, as far as its
 * likelihood is not nothing, and over both unknowns, of which what no slip resembles cancels.
 */
export function idealSlips(
    record: readonly Observed[],
    slipShare: number,
    pointer: number,
): Map<number, number> {
    const angles = record.map((one) => likelihood(one, ['camber_deg', 'caster_deg', 'sai_deg']));
    const toes = record.map((one) => likelihood(one, ['toe_deg']));
    const spans = angles.map(spanOf);
    const segments: number[][] = [[]];
    for (const [i, { next }] of record.entries()) {
        segments.at(-1)!.push(i);
        if (next === 'set' && i < record.length - 1) segments.push([]);
    }
    const rods = [...new Set(record.map((one) => one.rods))];
    const groups = rods.map((own) => segments.filter(([first]) => record[first!]!.rods === own));
    const start = asSet(pointer);
    let total = 0;
    const found = new Map<number, number>();
    for (const shift of shiftsOf(unknown.angles, 1)) {
        const ofGroups = groups.map((group) => {
            const slips = new Map<number, number>();
            let sum = 0;
            for (const toeShift of shiftsOf(unknown.toe, 2)) {
                const own = group.map((segment) => {
                    const places = segment.map((i) => placesOf(spans[i]!, shift));
                    for (const [n, i] of segment.entries()) {
                        const [all, toe, to] = [angles[i]!, toes[i]!, seen[n]!];
                        for (let k = places[n]!.first; k < places[n]!.end; k++)
                            to[k] = all[k + margin + shift]! * toe[k + margin + toeShift]!;
                    }
                    return segmentOf(places, start, slipShare);
                });
                const product = own.reduce((likely, { all }) => likely * all, 1);
                if (product === 0) continue;
                sum += product;
                for (const [n, { all, slipped }] of own.entries()) {
                    for (const [k, part] of slipped.entries()) {
                        const i = group[n]![k]!;
                        slips.set(i, (slips.get(i) ?? 0) + (product / all) * part);
                    }
                }
            }
            return { sum, slips };
        });
        const product = ofGroups.reduce((likely, { sum }) => likely * sum, 1);
        if (product === 0) continue;
        total += product;
        for (const { sum, slips } of ofGroups) {
            for (const [i, part] of slips) found.set(i, (found.get(i) ?? 0) + (product / sum) * part);
        }
    }
    return new Map([...found].map(([i, part]) => [i, part / total]));
}
