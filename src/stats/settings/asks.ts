import { bestPairs, type Pair, pairOf, waysOf } from './pairs.js';
import { type PlateSetting, plateOffset, plateSettings, rounded } from './plateSettings.js';
import { LEAST_TOLERANCE_DEG, predict, type Setting, slopeChange, trueAngle } from './predicted.js';
import { type Corner, type Corners, type Goal, NOTHING_WANTED, type Normal, type Search } from './problem.js';

type Angle = 'camber' | 'caster';

/** A wanted change of an angle (deg); `corner` null = of both fronts. */
export interface Change {
    corner: 'FL' | 'FR' | null;
    angle: Angle;
    deg: number;
}

/** How near counts as reached (deg). */
export interface Within {
    camber: number;
    caster: number;
}

/** At `change` half of it counts as reached at most. */
function withinChange(within: Within, { angle, deg }: Change): number {
    return deg === 0 ? within[angle] : Math.min(within[angle], Math.abs(deg) / 2);
}

/**
 * The corners that `changes` name, each with the goal of its present true angles and the change: an angle that no change names is not
 * judged, but on a plate with two scales the other one is to stay. Corners where a named angle was not read are left out.
 */
function changedGoals(
    corners: Corners,
    changes: readonly Change[],
    within: Within,
    target: string,
): Corner[] {
    return corners.flatMap((corner) => {
        const own = changes.filter((change) => change.corner === null || change.corner === corner.corner);
        if (own.length === 0 || own.some(({ angle }) => corner[angle].deg === null)) return [];
        const wanted = (angle: Angle) => {
            const change = own.find((one) => one.angle === angle);
            const before = trueAngle(corner[angle]);
            if (before === null || (change === undefined && !corner.plate.two_scales)) {
                return { deg: null, tolerance: null };
            }
            const asked = change ?? { corner: null, angle, deg: 0 };
            return { deg: before + asked.deg, tolerance: withinChange(within, asked) };
        };
        const [camber, caster] = [wanted('camber'), wanted('caster')];
        const goal: Goal = {
            ...NOTHING_WANTED,
            target,
            camber_deg: camber.deg,
            camber_tol_deg: camber.tolerance,
            caster_deg: caster.deg,
            caster_tol_deg: caster.tolerance,
            of_change: true,
        };
        return [{ ...corner, goals: [goal] }];
    });
}

/** A move that brings an angle less than this nearer per mm (deg/mm) is not worth making: the slot runs another way. */
const WORTH_MOVING = 0.02;

/**
 * The settings that come nearest to `changes`, as near as the marks allow (the sum of what camber and caster are off), judged by
 * `within`. Empty where no corner that they name can be asked about.
 */
export function changedPairs(
    normal: Normal,
    corners: Corners,
    search: Search,
    changes: readonly Change[],
    within: Within,
    target: string,
): Pair[] {
    const asked = changedGoals(corners, changes, within, target);
    const exact = asked.map((corner) => ({
        ...corner,
        goals: corner.goals.map((goal) => ({
            ...goal,
            camber_tol_deg: goal.camber_deg === null ? null : 0,
            caster_tol_deg: goal.caster_deg === null ? null : 0,
        })),
    }));
    const judged = (setting: Setting | null) => {
        if (setting === null) return null;
        const { goals } = asked.find((one) => one.corner === setting.corner.corner)!;
        const present = plateSettings(setting.corner, search).find(({ stay }) => stay);
        const now = present === undefined ? null : predict(normal, present, setting.goal);
        const nearer =
            now === null ? Number.POSITIVE_INFINITY : (now.excess - setting.excess) * LEAST_TOLERANCE_DEG;
        const worth = nearer >= WORTH_MOVING * setting.travel_mm;
        return predict(normal, worth ? setting : present!, goals[0]!);
    };
    return bestPairs(normal, exact, search).map(({ left, right }) => pairOf(judged(left), judged(right)));
}

/** Both fronts with the goal that left and right are alike in `angles`, whatever they are. */
export function equalGoals(
    corners: Corners,
    angles: readonly Angle[],
    within: Within,
    target: string,
): Corner[] {
    const limit = (angle: Angle) => (angles.includes(angle) ? within[angle] : null);
    const goal: Goal = {
        ...NOTHING_WANTED,
        target,
        cross_camber_max_deg: limit('camber'),
        cross_caster_max_deg: limit('caster'),
    };
    return corners.map((corner) => ({ ...corner, goals: [goal] }));
}

/** As much as it goes of one angle: in which direction, and what must not happen on the way. */
export interface Most {
    angle: Angle;
    /** -1 towards negative, 1 towards positive. */
    sign: -1 | 1;
    /** Most that the other angle may lose (deg): caster less, camber either way; null = anything. */
    lose_deg: number | null;
    /** Marks to keep free before an end of a scale. */
    margin_marks: number;
    /** What the angle must not pass (deg), with a probability of {@link WITHIN_LIMIT}; null = nothing. */
    limit_deg: number | null;
    /** Variance (deg2) of a reading by the gauge that judges it; 0 = the true angle is meant. */
    limit_var_deg2: number;
}

/** Chance that the true angle stays within the limit of a class, one-sided. */
export const WITHIN_LIMIT = 0.95;

/** What can end a search for the most. */
export type MostStop = 'scale_end' | 'slot_direction' | 'margin' | 'lose' | 'limit';

/** What the other angle loses by `setting` (deg), 0 or more. */
export function lossOf(setting: Setting, angle: Angle): number {
    const { slopes } = setting.corner;
    const { move_out_mm: out, move_aft_mm: aft } = setting;
    if (angle === 'camber') return Math.max(0, -slopeChange(slopes.caster, out, aft));
    return Math.abs(slopeChange(slopes.camber, out, aft));
}

/** P that the angle of `setting`, as it is judged, stays within the limit; null without one, or without a reading. */
export function withinLimit(
    normal: Normal,
    setting: Setting,
    { angle, sign, limit_deg, limit_var_deg2 }: Most,
): number | null {
    const { deg, var_deg2 } = setting[angle];
    if (limit_deg === null || deg === null || var_deg2 === null) return null;
    return normal.cdf((sign * (limit_deg - deg)) / Math.sqrt(var_deg2 + limit_var_deg2));
}

function hasMargin(setting: PlateSetting, margin: number): boolean {
    const { plate } = setting.corner;
    const free = (mark: number | null, low: number, high: number) =>
        mark === null || (mark - low >= margin - 1e-9 && high - mark >= margin - 1e-9);
    return (
        free(setting.mark_1, plate.mark_min, plate.mark_max) &&
        (!plate.two_scales || free(setting.mark_2, plate.mark2_min, plate.mark2_max))
    );
}

interface Reached {
    setting: Setting;
    gain: number;
}

/** Of the settings that `most` allows, the one that changes its angle the most; then the least loss, then the nearest. */
function furthest(normal: Normal, settings: readonly Setting[], most: Most): Reached | null {
    const gainOf = ({ corner, move_out_mm, move_aft_mm, travel_mm }: Setting) => {
        const gain = rounded(most.sign * slopeChange(corner.slopes[most.angle], move_out_mm, move_aft_mm), 6);
        return gain > 0 && gain < WORTH_MOVING * travel_mm ? 0 : gain;
    };
    const allowed = settings.filter(
        (setting) =>
            hasMargin(setting, most.margin_marks) &&
            (most.lose_deg === null || lossOf(setting, most.angle) <= most.lose_deg + 1e-9) &&
            (withinLimit(normal, setting, most) ?? 1) >= WITHIN_LIMIT,
    );
    const [best] = allowed.sort(
        (a, b) =>
            gainOf(b) - gainOf(a) ||
            rounded(lossOf(a, most.angle) - lossOf(b, most.angle), 6) ||
            a.travel_mm - b.travel_mm,
    );
    return best === undefined ? null : { setting: best, gain: gainOf(best) };
}

/** What keeps `setting` from going further: the first of these without which it would. */
function stopOf(
    normal: Normal,
    settings: readonly Setting[],
    most: Most,
    { setting, gain }: Reached,
): MostStop {
    const without: [MostStop, Partial<Most>][] = [
        ['limit', { limit_deg: null }],
        ['lose', { lose_deg: null }],
        ['margin', { margin_marks: 0 }],
    ];
    for (const [stop, freed] of without) {
        const further = furthest(normal, settings, { ...most, ...freed });
        if (further !== null && further.gain > gain + 1e-6) return stop;
    }
    const { plate } = setting.corner;
    const atEnd =
        [plate.mark_min, plate.mark_max].includes(setting.mark_1 ?? Number.NaN) ||
        (plate.two_scales && [plate.mark2_min, plate.mark2_max].includes(setting.mark_2 ?? Number.NaN));
    return gain <= 0 && !atEnd ? 'slot_direction' : 'scale_end';
}

export interface MostAnswer {
    pair: Pair;
    stops: { corner: 'FL' | 'FR'; stop: MostStop; gain_deg: number }[];
}

/**
 * The setting that goes furthest in one angle on each side, one way to clock the pair for both; null where a side has no setting that
 * `most` allows.
 */
export function mostOf(normal: Normal, corners: Corners, search: Search, most: Most): MostAnswer | null {
    const goal: Goal = { ...NOTHING_WANTED, target: '' };
    const sidesOf = (name: 'FL' | 'FR') => {
        const corner = corners.find((one) => one.corner === name);
        const groups = new Map<string, Setting[]>();
        for (const place of corner === undefined ? [] : plateSettings(corner, search)) {
            const key = `${place.plate_hand} ${place.plate_index}`;
            groups.set(key, [...(groups.get(key) ?? []), predict(normal, place, goal)]);
        }
        return [...groups.values()].flatMap((settings) => {
            const best = furthest(normal, [...settings], most);
            const { plate_hand, plate_index, own_hand, same_clocking } = settings[0]!;
            return best === null
                ? []
                : [{ plate_hand, plate_index, own: plate_hand === own_hand, same_clocking, settings, best }];
        });
    };
    const [lefts, rights] = [sidesOf('FL'), sidesOf('FR')];
    const has = (name: string) => corners.some(({ corner }) => corner === name);
    if ((has('FL') && lefts.length === 0) || (has('FR') && rights.length === 0)) return null;
    const [way] = waysOf(lefts, rights)
        .map(([left, right]) => ({
            left,
            right,
            gain: rounded((left?.best.gain ?? 0) + (right?.best.gain ?? 0), 6),
            present: Number((left?.same_clocking ?? true) && (right?.same_clocking ?? true)),
            symmetrical: Number(left === null || right === null || left.plate_index === right.plate_index),
            own: Number((left?.own ?? true) && (right?.own ?? true)),
        }))
        .sort(
            (a, b) =>
                b.gain - a.gain || b.present - a.present || b.symmetrical - a.symmetrical || b.own - a.own,
        );
    const { left, right } = way!;
    return {
        pair: pairOf(left?.best.setting ?? null, right?.best.setting ?? null),
        stops: [left, right]
            .filter((side) => side !== null)
            .map(({ best, settings }) => ({
                corner: best.setting.corner.corner,
                stop: stopOf(normal, settings, most, best),
                gain_deg: best.gain,
            })),
    };
}

/** A setting to come back to: plate, bolt position and marks, or an offset that was measured without marks. */
export interface LeftSetting {
    corner: 'FL' | 'FR';
    plate_hand: 'left' | 'right';
    plate_index: number;
    mark_1: number | null;
    mark_2: number | null;
    out_mm: number;
    aft_mm: number;
}

/** `corner` set to `left` again, with what it is expected to give at `goal`. */
export function settingAgain(normal: Normal, corner: Corner, left: LeftSetting, goal: Goal): Setting {
    const { plate } = corner;
    const search: Search = {
        step: plate.mark_max - plate.mark_min || 1,
        any_clocking: true,
        index: left.plate_index,
        hand: null,
    };
    const clocked = plateSettings(corner, search).filter(({ plate_hand }) => plate_hand === left.plate_hand);
    const present = clocked.find(({ stay }) => stay);
    const stays =
        present !== undefined &&
        (left.mark_1 === null
            ? Math.abs(left.out_mm - present.out_mm) < 1e-6 && Math.abs(left.aft_mm - present.aft_mm) < 1e-6
            : left.mark_1 === present.mark_1 && (!plate.two_scales || left.mark_2 === present.mark_2));
    if (stays) return predict(normal, present, goal);
    const [like] = clocked.filter(({ stay }) => !stay);
    const mirrored = like!.plate_hand !== like!.own_hand;
    const by = (mark_1: number | null, mark_2: number | null) =>
        plateOffset(plate, left.plate_index, mirrored, mark_1, plate.two_scales ? mark_2 : 0);
    const [then, now] = [by(left.mark_1, left.mark_2), by(corner.mark_1, corner.mark_2)];
    const shift =
        like!.same_clocking && now !== null
            ? { out: corner.offset_out_mm - now.out_mm, aft: corner.offset_aft_mm - now.aft_mm }
            : { out: 0, aft: 0 };
    const place =
        then === null
            ? { out_mm: left.out_mm, aft_mm: left.aft_mm }
            : { out_mm: rounded(then.out_mm + shift.out, 6), aft_mm: rounded(then.aft_mm + shift.aft, 6) };
    return predict(normal, { ...like!, ...place, mark_1: left.mark_1, mark_2: left.mark_2 }, goal);
}
