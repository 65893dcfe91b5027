import { centred, type Gap, type SetUp, setUpOf, type Walk, walkOf } from '../measurement/setUps.js';
import { type Group, groupsBy, type TableFunction } from './batch.js';

/** Pairs of its own from which on a gauge, or the field, is said to have told of its set-ups. */
const TOLD = 5;

/** What one gauge tells, drawn towards what all tell at the weight of 20 pairs: clamps and floors of one trade are much alike. */
function drawnIn(own: SetUp, pairCount: number, typicalVariance: number): SetUp {
    const variance = (pairCount * own.variance + 20 * typicalVariance) / (pairCount + 20);
    const factor = Math.sqrt(variance / own.variance);
    return { variance, low: own.low * Math.min(factor, 1), high: own.high * Math.max(factor, 1) };
}

interface Rows {
    /** Gaps that one gauge and person read, by gauge: of each that has a name, and of those without. */
    own: Map<string | null, Gap[]>;
    /** Gaps of two who read. */
    between: Gap[];
    scale: number;
}

function rowsOf(group: Group): Rows {
    const [gauges, gaps, variances, scales, pairs, clusters, undisturbed, stood, mountings, days] = [
        'gauge',
        'gap_deg',
        'gap_var',
        'visit_sd_deg',
        'pair',
        'cluster',
        'undisturbed',
        'stood',
        'mountings',
        'days',
    ].map((name) => group.values(name));
    const rows: Rows = { own: new Map([[null, []]]), between: [], scale: 0 };
    for (const [i, value] of gauges!.entries()) {
        const gauge = value as string | null;
        if (!rows.own.has(gauge)) rows.own.set(gauge, []);
        if (scales![i] !== null) rows.scale = scales![i] as number;
        if (gaps![i] === null) continue;
        const pair = pairs![i] as number;
        const met = pair === 0 ? rows.own.get(gauge)! : rows.between;
        met.push({
            gap: gaps![i] as number,
            variance: variances![i] as number,
            pair,
            cluster: clusters![i] as number,
            undisturbed: undisturbed![i] as boolean,
            stood: stood![i] as boolean,
            mountings: mountings![i] as number,
            days: days![i] as number,
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
        const { own: gapsOf, between, scale } = rowsOf(group);
        const walks = new Map<string | null, Walk | null>();
        // What a gauge walks is no set-up.
        const steady = new Map<string | null, Gap[]>();
        for (const [name, own] of gapsOf) {
            const walk = walkOf(own, setUpOf(own, scale).variance);
            const sure = walk !== null && Math.abs(walk.rate) > 3 * walk.standardError;
            walks.set(name, walk);
            steady.set(
                name,
                sure ? own.map((gap) => ({ ...gap, gap: gap.gap - (walk.rate * gap.days) / 7 })) : own,
            );
            yield [];
        }
        const all = [...steady.values()].flat().concat(centred(between));
        const typical = partsOf(all, scale);
        const told = all.length >= TOLD;
        const typicalVariance = typical.setUp.variance;
        const typicalScale = Math.sqrt(typicalVariance);
        const row = (gauge: string | null) => {
            const own = gauge === null ? all : steady.get(gauge)!;
            const walk = walks.get(gauge) ?? null;
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
            };
        };
        yield row(null);
        for (const name of [...gapsOf.keys()].sort()) if (name !== null) yield row(name);
    }
};
