import { type ClockedSide, compareWays, type Way, wayOf, waysOf } from './pairs.js';
import { rounded } from './plateSettings.js';
import { rankedSettings, type Setting, slopeChange, withinGoal } from './predicted.js';
import { type Corner, type Corners, isUnread, type Normal, type Search } from './problem.js';

/** The best setting of one clocking of a corner at one goal, and what the clocking reaches. */
interface Best {
    setting: Setting;
    allowed: boolean;
    spare_mm: number;
    camber: readonly [min: number | null, max: number | null];
    caster: readonly [min: number | null, max: number | null];
}

interface Side extends ClockedSide {
    best: readonly Best[];
    excess: number;
    p: number;
    spare_mm: number;
}

function extent(values: readonly (number | null)[]): readonly [number | null, number | null] {
    const known = values.filter((value) => value !== null);
    if (known.length === 0) return [null, null];
    return [Math.min(...known), Math.max(...known)];
}

/** Travel left to the nearer end of a scale; at an offset that was measured without marks, the whole of it. */
export function spareOf(setting: Setting): number {
    const { plate } = setting.corner;
    const whole = plate.mark_max - plate.mark_min;
    const [first, second] = [setting.mark_1, setting.mark_2];
    const ends = [
        ...(first === null ? [] : [first - plate.mark_min, plate.mark_max - first]),
        ...(plate.two_scales && second !== null ? [second - plate.mark2_min, plate.mark2_max - second] : []),
        ...(plate.two_scales ? [] : [whole]),
    ];
    return plate.pitch_mm * Math.min(...(ends.length === 0 ? [whole] : ends));
}

function bestOf(ranked: readonly Setting[], keepCaster: boolean): Best {
    const allows = (setting: Setting) =>
        !(keepCaster && slopeChange(setting.corner.slopes.caster, setting.out_mm, setting.aft_mm) < -1e-9);
    const setting = ranked.find(allows) ?? ranked[0]!;
    return {
        setting,
        allowed: allows(setting),
        spare_mm: spareOf(setting),
        camber: extent(ranked.map(({ camber }) => camber.deg)),
        caster: extent(ranked.map(({ caster }) => caster.deg)),
    };
}

function sidesOf(normal: Normal, corner: Corner | undefined, search: Search, keepCaster: boolean): Side[] {
    if (corner === undefined) return [];
    const byGoal = corner.goals.map((goal) => rankedSettings(normal, corner, search, goal));
    return [...(byGoal[0]?.keys() ?? [])].map((key) => {
        const ranked = byGoal.map((groups) => groups.get(key)!);
        const best = ranked.map((settings) => bestOf(settings, keepCaster));
        const { plate_hand, plate_index, own_hand, same_clocking } = best[0]!.setting;
        return {
            plate_hand,
            plate_index,
            own: plate_hand === own_hand,
            same_clocking,
            ranked,
            best,
            excess: best.reduce((sum, one) => sum + (one.allowed ? one.setting.excess : 1e6), 0),
            p: best.reduce((product, one) => product * (one.allowed ? one.setting.p : 0), 1),
            spare_mm: Math.min(...best.map((one) => one.spare_mm)),
        };
    });
}

interface RankedWay {
    way: Way;
    sides: readonly Side[];
    far: number;
    p_all: number;
    preference: number;
    spare_mm: number;
    symmetrical: boolean;
    present: boolean;
    own: boolean;
}

function rankedWay([left, right]: [Side | null, Side | null]): RankedWay {
    const excess = (left?.excess ?? 0) + (right?.excess ?? 0);
    const p_all = (left?.p ?? 1) * (right?.p ?? 1);
    const symmetrical =
        left === null ||
        right === null ||
        (left.plate_index === right.plate_index && left.plate_hand !== right.plate_hand);
    return {
        way: wayOf(left, right),
        sides: [left, right].filter((side) => side !== null),
        far: excess < 1e-6 ? 0 : excess,
        p_all,
        preference: rounded(p_all + (symmetrical ? 0.05 : 0), 2),
        spare_mm: Math.min(left?.spare_mm ?? Infinity, right?.spare_mm ?? Infinity),
        symmetrical,
        present: (left?.same_clocking ?? true) && (right?.same_clocking ?? true),
        own: (left?.own ?? true) && (right?.own ?? true),
    };
}

function compareRanked(a: RankedWay, b: RankedWay): number {
    return (
        a.far - b.far ||
        b.preference - a.preference ||
        rounded(b.spare_mm, 3) - rounded(a.spare_mm, 3) ||
        Number(b.own) - Number(a.own) ||
        b.p_all - a.p_all ||
        (a.way.left_index ?? 0) - (b.way.left_index ?? 0) ||
        (a.way.right_index ?? 0) - (b.way.right_index ?? 0) ||
        compareWays(a.way, b.way)
    );
}

const sd = (variance: number | null) => (variance === null ? null : Math.sqrt(variance));

function wayRow(normal: Normal, one: RankedWay, rank: number, best: Best) {
    const { setting, allowed } = best;
    const { corner, goal } = setting;
    return {
        rank,
        vehicle: corner.vehicle,
        chassis: corner.chassis,
        corner: corner.corner,
        target: goal.target,
        target_order: goal.target_order,
        kit: corner.new_kit,
        plate_hand: setting.plate_hand,
        plate_index: setting.plate_index,
        symmetrical: one.symmetrical,
        own_hands: one.own,
        present: one.present,
        camber_min_deg: best.camber[0],
        camber_max_deg: best.camber[1],
        caster_min_deg: best.caster[0],
        caster_max_deg: best.caster[1],
        mark_1: setting.mark_1,
        mark_2: corner.plate.two_scales ? setting.mark_2 : null,
        mark_min: corner.plate.mark_min,
        mark_max: corner.plate.mark_max,
        camber_deg: setting.camber.deg,
        caster_deg: setting.caster.deg,
        camber_sd_deg: sd(setting.camber.var_deg2),
        caster_sd_deg: sd(setting.caster.var_deg2),
        offset_out_mm: setting.out_mm,
        offset_aft_mm: setting.aft_mm,
        present_camber_deg: corner.camber.deg,
        present_caster_deg: corner.caster.deg,
        target_camber_deg: goal.camber_deg,
        camber_tol_deg: goal.camber_tol_deg,
        target_caster_deg: goal.caster_deg,
        caster_tol_deg: goal.caster_tol_deg,
        allowed,
        reachable: allowed && setting.excess === 0,
        p_in_tolerance: isUnread(setting) ? null : allowed ? setting.p : 0,
        p_camber_in_tolerance: withinGoal(normal, setting, 'camber'),
        p_caster_in_tolerance: withinGoal(normal, setting, 'caster'),
        p_all: one.p_all,
        spare_mm: best.spare_mm,
        caster_from_original_deg: slopeChange(corner.slopes.caster, setting.out_mm, setting.aft_mm),
        short_camber_deg: setting.camber.short_deg,
        short_caster_deg: setting.caster.short_deg,
        camber_basis: corner.slopes.camber.basis,
        caster_basis: corner.slopes.caster.basis,
    };
}

export type ClockedWay = ReturnType<typeof wayRow>;

/**
 * The ways to clock the pair of one car, best first: one row per way, goal and corner, with the best setting of that corner for that
 * goal. Ways that reach every goal come first, then those with a higher probability; 0.05 is added for a way that is alike left and
 * right; then by spare travel. Both plates of one hand count only where they sit there now. `keepCaster`: settings that leave less
 * caster than the original mount do not count. Needs no database.
 */
export function clockedWays(
    normal: Normal,
    corners: Corners,
    search: Omit<Search, 'any_clocking'>,
    keepCaster: boolean,
): ClockedWay[] {
    const of = (name: 'FL' | 'FR') =>
        sidesOf(
            normal,
            corners.find(({ corner }) => corner === name),
            { ...search, any_clocking: true },
            keepCaster,
        );
    const ways = waysOf(of('FL'), of('FR')).map(rankedWay).sort(compareRanked);
    return ways.flatMap((one, i) =>
        (one.sides[0]?.best ?? []).flatMap((_, goal) =>
            one.sides.map((side) => wayRow(normal, one, i + 1, side.best[goal]!)),
        ),
    );
}
