import { centred, type Gap, type SetUp, setUpOf } from '../measurement/setUps.js';
import { type DatedGap, walksOf, withinWalk } from '../measurement/walks.js';
import { type Group, groupsBy, type TableFunction } from './batch.js';

/** Pairs of its own from which on a gauge, or the field, is said to have told of its set-ups. */
const TOLD = 5;

/** Weeks in which a gauge that walks moves as far as gauges differ (common practice, no source). */
const WEEKS = 5;

/** What one gauge tells, drawn towards what all tell at the weight of 20 pairs: clamps and floors of one trade are much alike. */
function drawnIn(own: SetUp, pairCount: number, typicalVariance: number): SetUp {
    const variance = (pairCount * own.variance + 20 * typicalVariance) / (pairCount + 20);
    const factor = Math.sqrt(variance / own.variance);
    return { variance, low: own.low * Math.min(factor, 1), high: own.high * Math.max(factor, 1) };
}

interface Rows {
    /** Gaps that one gauge and person read, by gauge: of each that has a name, and of those without. */
    own: Map<string | null, DatedGap[]>;
    /** Gaps of two who read. */
    between: DatedGap[];
    /** What gauges read of references, one day and the next: no set-up is in them. */
    references: DatedGap[];
    scale: number;
    /** Standard deviation of the bias of a gauge, deg. */
    biasScale: number;
}

function rowsOf(group: Group): Rows {
    const [
        gauges,
        others,
        gaps,
        variances,
        scales,
        biases,
        pairs,
        clusters,
        undisturbed,
        stood,
        mountings,
        at,
        otherAt,
    ] = [
        'gauge',
        'other_gauge',
        'gap_deg',
        'gap_var',
        'visit_sd_deg',
        'bias_sd_deg',
        'pair',
        'cluster',
        'undisturbed',
        'stood',
        'mountings',
        'at_weeks',
        'other_at_weeks',
    ].map((name) => group.values(name));
    const rows: Rows = { own: new Map([[null, []]]), between: [], references: [], scale: 0, biasScale: 0 };
    for (const [i, value] of gauges!.entries()) {
        const gauge = value as string | null;
        if (!rows.own.has(gauge)) rows.own.set(gauge, []);
        if (scales![i] !== null) {
            rows.scale = scales![i] as number;
            rows.biasScale = biases![i] as number;
        }
        if (gaps![i] === null) continue;
        const pair = pairs![i] as number;
        const ofReader = pair === 0 ? rows.own.get(gauge)! : rows.between;
        const met = mountings![i] === 0 ? rows.references : ofReader;
        met.push({
            gap: gaps![i] as number,
            variance: variances![i] as number,
            pair,
            cluster: clusters![i] as number,
            undisturbed: undisturbed![i] as boolean,
            stood: stood![i] as boolean,
            mountings: mountings![i] as number,
            gauges: [gauge, others![i] as string | null],
            at: [(at![i] ?? Number.NaN) as number, (otherAt![i] ?? Number.NaN) as number],
        });
    }
    return rows;
}

interface Parts {
    setUp: SetUp;
    /** Of its variance, what another mounting of the gauge changes, deg2. */
    mountingVariance: number;
}

/**
 * Clamps and rim from pairs of mountings while the car stood; these with floor and rake from pairs of visits. `scale`: standard
 * deviation that is expected of the whole, deg; half of its variance is expected of either part (common practice, no source).
 */
function partsOf(gaps: readonly Gap[], scale: number): Parts {
    const stood = gaps.filter((gap) => gap.stood);
    const half = (scale * scale) / 2;
    if (stood.length === 0) {
        const setUp = setUpOf(gaps, scale);
        return { setUp, mountingVariance: setUp.variance / 2 };
    }
    const mounting = setUpOf(stood, Math.sqrt(half));
    const apart = gaps.filter((gap) => !gap.stood);
    const floor = setUpOf(
        apart.map((gap) => ({ ...gap, variance: gap.variance + mounting.variance * gap.mountings })),
        Math.sqrt(half),
    );
    return {
        setUp: {
            variance: mounting.variance + floor.variance,
            low: Math.hypot(mounting.low, floor.low),
            high: Math.hypot(mounting.high, floor.high),
        },
        mountingVariance: mounting.variance,
    };
}

/** Variance of a set-up by each gauge and angle, and whether a gauge walks. */
export const setUps: TableFunction = async function* (batches) {
    for await (const group of groupsBy(batches, 'response')) {
        const { own: gapsOf, between, references, scale, biasScale } = rowsOf(group);
        const walks = walksOf(
            [...gapsOf.values(), between, references].flat(),
            biasScale / WEEKS,
            2 * scale * scale,
        );
        yield [];
        const movedBy = (gauge: string | null, at: number) => {
            const walk = walks.get(gauge);
            return walk === undefined ? 0 : walk.expected * withinWalk(at - walk.middle, walk.weeks);
        };
        // What a gauge walks is no set-up.
        const still = ({ gauges: [one, other], at: [from, to], ...gap }: DatedGap): Gap =>
            Number.isFinite(from + to)
                ? { ...gap, gap: gap.gap + movedBy(one, from) - movedBy(other, to) }
                : gap;
        const steady = new Map([...gapsOf].map(([name, own]) => [name, own.map(still)]));
        const all = [...steady.values()].flat().concat(centred(between.map(still)));
        const typical = partsOf(all, scale);
        const told = all.length >= TOLD;
        const typicalVariance = typical.setUp.variance;
        const typicalScale = Math.sqrt(typicalVariance);
        const row = (gauge: string | null) => {
            const own = gauge === null ? all : steady.get(gauge)!;
            const walk = gauge === null ? undefined : walks.get(gauge);
            // Where no other gauge has a pair, what all tell is its own already.
            const ownSays = gauge !== null && own.length > 0 && own.length < all.length;
            const found = ownSays
                ? drawnIn(partsOf(own, typicalScale).setUp, own.length, typicalVariance)
                : typical.setUp;
            const source = own.length >= TOLD ? 'visits' : told ? 'typical' : 'prior';
            return {
                gauge,
                ...group.key,
                set_up_var_deg2: found.variance,
                mounting_var_deg2: (typical.mountingVariance * found.variance) / typicalVariance,
                low_deg: found.low,
                high_deg: found.high,
                pair_count: own.length,
                source,
                walk_deg_per_week: walk?.rate ?? null,
                walk_std_error_deg_per_week: walk?.standardError ?? null,
                walk_weeks: walk?.weeks ?? null,
                walk_pair_count: walk?.pairCount ?? 0,
                p_walks: walk?.probability ?? null,
                bias_rate_deg_per_week: walk?.expected ?? 0,
                bias_rate_var_deg2: walk?.variance ?? 0,
                walk_middle_weeks: walk?.middle ?? null,
            };
        };
        yield row(null);
        for (const name of [...gapsOf.keys()].sort()) if (name !== null) yield row(name);
    }
};
