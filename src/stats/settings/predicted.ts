import { type PlateSetting, plateSettings, rounded } from './plateSettings.js';
import {
    type Corner,
    type Goal,
    HALF_WIDTH,
    type Normal,
    type PlaceError,
    type Reading,
    type Search,
    type Slope,
} from './problem.js';

/** An angle that a setting is expected to give (deg, null where it was not read) with its variance (deg2). */
export interface Expected {
    deg: number | null;
    var_deg2: number | null;
    /** Change still needed to come within the tolerance, 0 inside; null where the angle is not judged. */
    short_deg: number | null;
}

/**
 * A setting with what it is expected to give at one goal. Angles are true ones at the goal's toe (present toe where it names none).
 * `excess`: 0 where they lie within tolerance, else {@link missOf} of both; `p`: that both lie inside, of the angles that were read.
 */
export interface Setting extends PlateSetting {
    goal: Goal;
    move_out_mm: number;
    move_aft_mm: number;
    travel_mm: number;
    camber: Expected;
    caster: Expected;
    /** Covariance of camber and caster, from the place. */
    angles_cov_deg2: number;
    toe_change_deg: number;
    toe_change_var_deg2: number;
    /** What the present toe lacks of the goal's, less the bias of who read it; 0 where one is not known. */
    toe_short_deg: number;
    excess: number;
    p: number;
}

/** Change of an angle (deg) for a move of the bearing (mm). */
export function slopeChange(slope: Slope, out: number, aft: number): number {
    return slope.slope_out * out + slope.slope_aft * aft;
}

/** Variance (deg2) of that change from the chassis' slopes. */
export function slopeChangeVar(slope: Slope, out: number, aft: number): number {
    return slope.var_out * out * out + 2 * slope.cov_out_aft * out * aft + slope.var_aft * aft * aft;
}

/** The same from the corner's own deviation from them. */
export function spreadChangeVar(slope: Slope, out: number, aft: number): number {
    return slope.spread_var * (out * out + aft * aft);
}

/** Covariance (deg2) of two angles from an error of the bearing's place. */
export function placeErrorCov(first: Slope, second: Slope, error: PlaceError): number {
    return (
        first.slope_out * second.slope_out * error.oo +
        (first.slope_out * second.slope_aft + first.slope_aft * second.slope_out) * error.oa +
        first.slope_aft * second.slope_aft * error.aa
    );
}

/** `variance` (deg2) and that of a change of the angle: slopes, the corner's deviation, and the place. */
function withChangeVar(variance: number, slope: Slope, out: number, aft: number, error: PlaceError): number {
    return (
        variance +
        slopeChangeVar(slope, out, aft) +
        spreadChangeVar(slope, out, aft) +
        placeErrorCov(slope, slope, error)
    );
}

/** The change that would bring `x` to the edge of `middle` +- `tolerance`; 0 inside, and where there is no band. */
export function changeNeeded(x: number | null, middle: number | null, tolerance: number | null): number {
    if (x === null || middle === null || tolerance === null) return 0;
    if (x < middle - tolerance) return middle - tolerance - x;
    if (x > middle + tolerance) return middle + tolerance - x;
    return 0;
}

/** An interval; null = no limit. */
export type Band = readonly [low: number | null, high: number | null];

const FAR = 1e3;

/** P that two normal variables lie in their bands; a variable of which nothing is known (null) has no say. */
export function normalBox(
    normal: Normal,
    x: { mean: number | null; variance: number | null; band: Band },
    y: { mean: number | null; variance: number | null; band: Band },
    cov: number,
): number {
    const limit = (
        one: { mean: number | null; variance: number | null },
        edge: number | null,
        none: number,
    ) =>
        edge === null || one.mean === null || one.variance === null
            ? none
            : (edge - one.mean) / Math.sqrt(one.variance);
    const known = x.variance !== null && y.variance !== null;
    const p = normal.rectangle(
        limit(x, x.band[0], -FAR),
        limit(x, x.band[1], FAR),
        limit(y, y.band[0], -FAR),
        limit(y, y.band[1], FAR),
        known ? cov / Math.sqrt(x.variance! * y.variance!) : 0,
    );
    return Number.isNaN(p) ? 1 : p;
}

/** `middle` +- `tolerance`, without limits where one of them is not given. */
export function around(middle: number | null, tolerance: number | null): Band {
    return middle === null || tolerance === null ? [null, null] : [middle - tolerance, middle + tolerance];
}

/** P that one angle lies within its tolerance; null where it is not wanted or was not read. */
export function withinBand(
    normal: Normal,
    mean: number | null,
    variance: number | null,
    middle: number | null,
    tolerance: number | null,
): number | null {
    if (mean === null || variance === null || middle === null || tolerance === null) return null;
    const sd = Math.sqrt(Math.max(variance, 1e-12));
    return normal.cdf((middle + tolerance - mean) / sd) - normal.cdf((middle - tolerance - mean) / sd);
}

/** Variance (deg2) of what `goal` judges: the true angle, or its change. */
function judgedVar({ var_deg2 }: Expected, reading: Reading, goal: Goal): number | null {
    if (var_deg2 === null || !goal.of_change) return var_deg2;
    return Math.max(var_deg2 - (reading.var_deg2 ?? 0), 1e-12);
}

/** The same of an angle of `setting` at its goal. */
export function withinGoal(normal: Normal, setting: Setting, angle: 'camber' | 'caster'): number | null {
    const { goal, corner, [angle]: expected } = setting;
    const variance = judgedVar(expected, corner[angle], goal);
    return withinBand(normal, expected.deg, variance, goal[`${angle}_deg`], goal[`${angle}_tol_deg`]);
}

/** The angle less what its reader adds; null where it was not read. */
export function trueAngle(reading: Reading): number | null {
    return reading.deg === null ? null : reading.deg - (reading.bias_deg ?? 0);
}

/** A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber. */
function camberOfToe({ caster, toe }: Corner, goal: Goal): number {
    if (caster.deg === null || goal.toe_deg === null || toe.deg === null) return 0;
    return Math.tan((caster.deg * Math.PI) / 180) * (goal.toe_deg - toe.deg + (toe.bias_deg ?? 0));
}

function expected(
    deg: number | null,
    var_deg2: number | null,
    goal: number | null,
    tolerance: number | null,
): Expected {
    if (deg === null) return { deg: null, var_deg2: null, short_deg: null };
    return { deg, var_deg2, short_deg: goal === null ? null : changeNeeded(deg, goal, tolerance) };
}

/** A smaller tolerance than this counts as this, so that none is endless tolerances away. */
export const LEAST_TOLERANCE_DEG = 0.05;

/**
 * How far an angle is off, in tolerances: half the square within, from there as far as it goes (Huber's loss, less its constant). So
 * an angle out of reach draws another one off its middle only as far as that pays.
 */
function missOf({ deg, short_deg }: Expected, goal: number | null, tolerance: number | null): number {
    if (deg === null || goal === null || short_deg === null) return 0;
    const size = Math.max(tolerance ?? 0, LEAST_TOLERANCE_DEG);
    const beyond = Math.abs(short_deg);
    const within = (Math.abs(deg - goal) - beyond) / size;
    return beyond / size + (within * within) / 2;
}

/** What `setting` is expected to give at `goal`. */
export function predict(normal: Normal, setting: PlateSetting, goal: Goal): Setting {
    const { corner } = setting;
    const { camber, caster, toe } = corner.slopes;
    const out = setting.out_mm - corner.offset_out_mm;
    const aft = setting.aft_mm - corner.offset_aft_mm;
    const variance = (before: number | null, slope: Slope) =>
        before === null ? null : withChangeVar(before, slope, out, aft, setting.place_error);
    const camberBefore = trueAngle(corner.camber);
    const casterBefore = trueAngle(corner.caster);
    const newCamber = expected(
        camberBefore === null
            ? null
            : camberBefore + slopeChange(camber, out, aft) - camberOfToe(corner, goal),
        variance(corner.camber.var_deg2, camber),
        goal.camber_deg,
        goal.camber_tol_deg,
    );
    const newCaster = expected(
        casterBefore === null ? null : casterBefore + slopeChange(caster, out, aft),
        variance(corner.caster.var_deg2, caster),
        goal.caster_deg,
        goal.caster_tol_deg,
    );
    const angles_cov_deg2 = placeErrorCov(camber, caster, setting.place_error);
    const inside = [newCamber, newCaster].every(({ short_deg }) => Math.abs(short_deg ?? 0) < 1e-8);
    const judged = (angle: Expected, reading: Reading, middle: number | null, tolerance: number | null) => ({
        mean: angle.deg,
        variance: judgedVar(angle, reading, goal),
        band: angle.deg === null ? ([null, null] as const) : around(middle, tolerance),
    });
    return {
        ...setting,
        goal,
        move_out_mm: out,
        move_aft_mm: aft,
        travel_mm: Math.sqrt(out * out + aft * aft),
        camber: newCamber,
        caster: newCaster,
        angles_cov_deg2,
        toe_change_deg: slopeChange(toe, out, aft),
        toe_change_var_deg2: variance(0, toe)!,
        toe_short_deg:
            goal.toe_deg === null || corner.toe.deg === null
                ? 0
                : goal.toe_deg - corner.toe.deg + (corner.toe.bias_deg ?? 0),
        excess: inside
            ? 0
            : rounded(
                  missOf(newCamber, goal.camber_deg, goal.camber_tol_deg) +
                      missOf(newCaster, goal.caster_deg, goal.caster_tol_deg),
                  6,
              ),
        p: normalBox(
            normal,
            judged(newCamber, corner.camber, goal.camber_deg, goal.camber_tol_deg),
            judged(newCaster, corner.caster, goal.caster_deg, goal.caster_tol_deg),
            angles_cov_deg2,
        ),
    };
}

/** Least first; null behind every number. */
function compareMarks(first: number | null, second: number | null): number {
    return (first ?? Number.POSITIVE_INFINITY) - (second ?? Number.POSITIVE_INFINITY) || 0;
}

/** Best first: least excess, most probable, nearest, lowest marks. */
export function compareSettings(first: Setting, second: Setting): number {
    return (
        first.excess - second.excess ||
        second.p - first.p ||
        first.travel_mm - second.travel_mm ||
        compareMarks(first.mark_1, second.mark_1) ||
        compareMarks(first.mark_2, second.mark_2)
    );
}

/** The settings of `corner` at one of its goals by plate and bolt position, best first. */
export function rankedSettings(
    normal: Normal,
    corner: Corner,
    search: Search,
    goal: Goal,
): ReadonlyMap<string, Setting[]> {
    const groups = new Map<string, Setting[]>();
    for (const setting of plateSettings(corner, search)) {
        const key = `${setting.plate_hand} ${setting.plate_index}`;
        const group = groups.get(key);
        const predicted = predict(normal, setting, goal);
        if (group === undefined) groups.set(key, [predicted]);
        else group.push(predicted);
    }
    for (const group of groups.values()) group.sort(compareSettings);
    return groups;
}

/** The 95 % interval of an expected angle. */
export function interval({ deg, var_deg2 }: Pick<Expected, 'deg' | 'var_deg2'>): Band {
    if (deg === null || var_deg2 === null) return [null, null];
    const half = HALF_WIDTH * Math.sqrt(var_deg2);
    return [deg - half, deg + half];
}
