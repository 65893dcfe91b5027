import { rounded } from './plateSettings.js';
import {
    around,
    changeNeeded,
    LEAST_TOLERANCE_DEG,
    normalBox,
    rankedSettings,
    type Setting,
    slopeChangeVar,
    withinBand,
} from './predicted.js';
import type { Corner, Corners, Normal, Reading, Search, Slope } from './problem.js';

/** How the pair is clocked; null = that side is not asked about. */
export interface Way {
    left_hand: string | null;
    left_index: number | null;
    right_hand: string | null;
    right_index: number | null;
}

/** What left and right are set to at one goal. */
export interface Pair {
    left: Setting | null;
    right: Setting | null;
    cross_camber_deg: number | null;
    cross_caster_deg: number | null;
    /** How far settings and cross limits are missed, in tolerances. */
    excess: number;
    /** Both sides alone, taken as independent. */
    p_sides: number;
    travel_mm: number;
    /**
     * All corners and cross limits together, taken as independent: a lower bound where the goal is met on average (Gaussian
     * correlation inequality, Royen 2014).
     */
    p_both: number;
}

/** Left minus right; null where one is not known. */
function difference(left: number | null | undefined, right: number | null | undefined): number | null {
    return left === null || left === undefined || right === null || right === undefined ? null : left - right;
}

/** The pair of two settings, `p_both` not yet with the cross limits. */
export function pairOf(left: Setting | null, right: Setting | null): Pair {
    const goal = (left ?? right)!.goal;
    const cross_camber_deg = difference(left?.camber.deg, right?.camber.deg);
    const cross_caster_deg = difference(left?.caster.deg, right?.caster.deg);
    const over = (cross: number | null, wanted: number, limit: number | null) =>
        limit === null
            ? 0
            : Math.abs(changeNeeded(cross, wanted, limit)) / Math.max(limit, LEAST_TOLERANCE_DEG);
    const p_sides = (left?.p ?? 1) * (right?.p ?? 1);
    return {
        left,
        right,
        cross_camber_deg,
        cross_caster_deg,
        excess: rounded(
            (left?.excess ?? 0) +
                (right?.excess ?? 0) +
                over(cross_camber_deg, goal.cross_camber_deg, goal.cross_camber_max_deg) +
                over(cross_caster_deg, goal.cross_caster_deg, goal.cross_caster_max_deg),
            6,
        ),
        p_sides,
        travel_mm: (left?.travel_mm ?? 0) + (right?.travel_mm ?? 0),
        p_both: p_sides,
    };
}

/**
 * Variance of left less right: both share the slopes of the chassis, so only the difference of their moves counts there; and, read with
 * one gauge, its bias cancels.
 */
function crossVar(left: Setting, right: Setting, angle: 'camber' | 'caster'): number | null {
    const [first, second] = [left[angle].var_deg2, right[angle].var_deg2];
    if (first === null || second === null) return null;
    const bias = (reading: Reading) => reading.bias_var_deg2 ?? 0;
    const [leftRead, rightRead] = [left.corner[angle], right.corner[angle]];
    const shared =
        leftRead.gauge !== null && leftRead.gauge === rightRead.gauge ? bias(leftRead) + bias(rightRead) : 0;
    const slope: Slope = left.corner.slopes[angle];
    return (
        first +
        second -
        shared -
        slopeChangeVar(slope, left.move_out_mm, left.move_aft_mm) -
        slopeChangeVar(slope, right.move_out_mm, right.move_aft_mm) +
        slopeChangeVar(slope, left.move_out_mm - right.move_out_mm, left.move_aft_mm - right.move_aft_mm)
    );
}

/** P that left minus right keeps its limit; null without a limit or a side. */
export function withinCross(normal: Normal, pair: Pair, angle: 'camber' | 'caster'): number | null {
    const { left, right, [`cross_${angle}_deg` as const]: cross } = pair;
    if (left === null || right === null) return null;
    return withinBand(normal, cross, crossVar(left, right, angle), 0, left.goal[`cross_${angle}_max_deg`]);
}

/** `pair` with the cross limits in its `p_both`. */
export function withCross(normal: Normal, pair: Pair): Pair {
    const { left, right } = pair;
    if (left === null || right === null) return pair;
    const { cross_camber_max_deg: camber, cross_caster_max_deg: caster } = left.goal;
    if (camber === null && caster === null) return pair;
    const side = (angle: 'camber' | 'caster', mean: number | null, limit: number | null) => ({
        mean,
        variance: crossVar(left, right, angle),
        band: around(left.goal[`cross_${angle}_deg`], limit),
    });
    const p = normalBox(
        normal,
        side('camber', pair.cross_camber_deg, camber),
        side('caster', pair.cross_caster_deg, caster),
        left.angles_cov_deg2 + right.angles_cov_deg2,
    );
    return { ...pair, p_both: pair.p_sides * p };
}

const PROMISING = 200;
const SHORTLIST = 1000;

/** The most promising of one clocking of a corner, and the present one. */
function promising(ranked: readonly Setting[]): Setting[] {
    return ranked.filter((setting, i) => i < PROMISING || setting.stay);
}

const stays = (pair: Pair) => Number(pair.left?.stay ?? false) + Number(pair.right?.stay ?? false);

/** Leaving plates alone may cost some probability. It may cost more to leave all of them, so that an answer once set stays. */
function allowance(pair: Pair): number {
    if ((pair.left?.stay ?? true) && (pair.right?.stay ?? true)) return 0.03;
    return pair.left?.stay || pair.right?.stay ? 0.01 : 0.0005;
}

/**
 * The pair to dial in of two ranked lists, one null where that side is not asked about: least excess over tolerances and cross limits,
 * then probability, then nearness to the present setting; plates that are as good where they are stay there.
 */
function bestPair(normal: Normal, lefts: readonly Setting[] | null, rights: readonly Setting[] | null): Pair {
    const pairs = (lefts ?? [null]).flatMap((left) => (rights ?? [null]).map((right) => pairOf(left, right)));
    const least = pairs.reduce((least, { excess }) => Math.min(least, excess), Number.POSITIVE_INFINITY);
    // Only pairs of the least excess of their way can be the answer. Sorting is stable: ties stay in order of rank.
    const judged = pairs
        .filter(({ excess }) => excess <= least + 1e-6)
        .sort(
            (a, b) =>
                rounded(b.p_sides, 9) - rounded(a.p_sides, 9) ||
                rounded(a.travel_mm, 6) - rounded(b.travel_mm, 6),
        )
        .filter((pair, i) => i < SHORTLIST || stays(pair) > 0)
        .map((pair) => withCross(normal, pair));
    const most = judged.reduce((most, { p_both }) => Math.max(most, p_both), 0);
    return judged
        .filter((pair) => pair.p_both >= most - allowance(pair))
        .sort(
            (a, b) =>
                stays(b) - stays(a) ||
                rounded(a.travel_mm, 6) - rounded(b.travel_mm, 6) ||
                rounded(b.p_both, 9) - rounded(a.p_both, 9),
        )[0]!;
}

/** The ways to clock a pair, one plate of it left, the other right, unless two of one hand sit there now. */
function waysOf<S extends { plate_hand: string; same_clocking: boolean }>(
    lefts: readonly S[],
    rights: readonly S[],
): [left: S | null, right: S | null][] {
    if (rights.length === 0) return lefts.map((left) => [left, null]);
    if (lefts.length === 0) return rights.map((right) => [null, right]);
    return lefts.flatMap((left) =>
        rights
            .filter(
                (right) =>
                    left.plate_hand !== right.plate_hand || (left.same_clocking && right.same_clocking),
            )
            .map((right): [S, S] => [left, right]),
    );
}

interface ClockedSide {
    plate_hand: 'left' | 'right';
    plate_index: number;
    own: boolean;
    same_clocking: boolean;
    /** By goal, settings best first. */
    ranked: readonly (readonly Setting[])[];
}

/** What a corner can be set to by plate and bolt position, at each goal. */
function clockedSides(normal: Normal, corner: Corner | undefined, search: Search): ClockedSide[] {
    if (corner === undefined) return [];
    const byGoal = corner.goals.map((goal) => rankedSettings(normal, corner, search, goal));
    return [...(byGoal[0]?.entries() ?? [])].map(([key, settings]) => {
        const { plate_hand, plate_index, own_hand, same_clocking } = settings[0]!;
        return {
            plate_hand,
            plate_index,
            own: plate_hand === own_hand,
            same_clocking,
            ranked: byGoal.map((groups) => promising(groups.get(key)!)),
        };
    });
}

function compareText(first: string | null, second: string | null): number {
    if (first === second) return 0;
    return (first ?? '~') < (second ?? '~') ? -1 : 1;
}

/** In order of left plate and index, then right. */
export function compareWays(first: Way, second: Way): number {
    return (
        compareText(first.left_hand, second.left_hand) ||
        (first.left_index ?? 0) - (second.left_index ?? 0) ||
        compareText(first.right_hand, second.right_hand) ||
        (first.right_index ?? 0) - (second.right_index ?? 0)
    );
}

export function wayOf(left: ClockedSide | null, right: ClockedSide | null): Way {
    return {
        left_hand: left?.plate_hand ?? null,
        left_index: left?.plate_index ?? null,
        right_hand: right?.plate_hand ?? null,
        right_index: right?.plate_index ?? null,
    };
}

/**
 * What to dial in at each goal, in their order: all share one way to clock the pair, that of the least excess, then the most probable;
 * the present one may cost some probability. Empty where there is nothing to set or to want.
 */
export function bestPairs(normal: Normal, corners: Corners, search: Search): Pair[] {
    const [lefts, rights] = (['FL', 'FR'] as const).map((name) =>
        clockedSides(
            normal,
            corners.find(({ corner }) => corner === name),
            search,
        ),
    ) as [ClockedSide[], ClockedSide[]];
    const ways = waysOf(lefts, rights).map(([left, right]) => {
        const pairs = (left ?? right)!.ranked.map((_, i) =>
            bestPair(normal, left?.ranked[i] ?? null, right?.ranked[i] ?? null),
        );
        return {
            way: wayOf(left, right),
            pairs,
            present: (left?.same_clocking ?? true) && (right?.same_clocking ?? true),
            symmetrical:
                left === null ||
                right === null ||
                (left.plate_index === right.plate_index && left.plate_hand !== right.plate_hand),
            own: (left?.own ?? true) && (right?.own ?? true),
            excess: pairs.reduce((sum, pair) => sum + pair.excess, 0),
            p: pairs.reduce((product, pair) => product * pair.p_both, 1),
        };
    });
    const leastExcess = Math.min(...ways.map(({ excess }) => excess));
    const least = ways.filter(({ excess }) => excess <= leastExcess + 1e-6);
    const mostP = Math.max(...least.map(({ p }) => p));
    const [best] = least
        .filter(({ p, present }) => p >= mostP - (present ? 0.03 : 0.01))
        .sort(
            (a, b) =>
                Number(b.present) - Number(a.present) ||
                Number(b.symmetrical) - Number(a.symmetrical) ||
                Number(b.own) - Number(a.own) ||
                rounded(b.p, 6) - rounded(a.p, 6) ||
                compareWays(a.way, b.way),
        );
    return best?.pairs ?? [];
}

export { type ClockedSide, waysOf };
