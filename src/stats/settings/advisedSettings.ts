import { bestPairs, type Pair, withinCross } from './pairs.js';
import { plateOffset } from './plateSettings.js';
import { type Expected, interval, type Setting, slopeChange, trueAngle, withinGoal } from './predicted.js';
import {
    type Corners,
    HALF_WIDTH,
    isUnread,
    type Normal,
    type Reading,
    type Search,
    type Slope,
} from './problem.js';
import { type ToeUnits, toeColumns } from './toe.js';

/** Move (mm) that changes camber and caster by the needed amounts; where one of them is not asked for (null), the shortest one. */
export function moveNeeded(
    camber: Slope,
    caster: Slope,
    camberChange: number | null,
    casterChange: number | null,
): { out_mm: number; aft_mm: number } {
    const along = (slope: Slope, change: number) => {
        const square = slope.slope_out * slope.slope_out + slope.slope_aft * slope.slope_aft;
        return {
            out_mm: (change * slope.slope_out) / square,
            aft_mm: (change * slope.slope_aft) / square,
        };
    };
    if (camberChange === null) return along(caster, casterChange ?? 0);
    if (casterChange === null) return along(camber, camberChange);
    const determinant = camber.slope_out * caster.slope_aft - camber.slope_aft * caster.slope_out;
    return {
        out_mm: (camberChange * caster.slope_aft - casterChange * camber.slope_aft) / determinant,
        aft_mm: (casterChange * camber.slope_out - camberChange * caster.slope_out) / determinant,
    };
}

/** What is shown next time, and the parts of the standard uncertainty of the true angle. */
function angleColumns(angle: 'camber' | 'caster', expected: Expected, reading: Reading) {
    const [low, high] = interval(expected);
    const { bias_deg, bias_var_deg2, set_up_var_deg2, next_var_deg2, mean_var_deg2, var_deg2 } = reading;
    const shown = expected.deg === null || bias_deg === null ? null : expected.deg + bias_deg;
    const shownVar =
        expected.var_deg2 === null || bias_var_deg2 === null || next_var_deg2 === null
            ? null
            : expected.var_deg2 - bias_var_deg2 + next_var_deg2;
    const half = shownVar === null ? null : HALF_WIDTH * Math.sqrt(shownVar);
    const known = expected.deg !== null;
    const root = (variance: number | null) => (variance === null || !known ? null : Math.sqrt(variance));
    return {
        [`${angle}_deg`]: expected.deg,
        [`${angle}_low_deg`]: low,
        [`${angle}_high_deg`]: high,
        [`${angle}_shown_deg`]: shown,
        [`${angle}_shown_low_deg`]: shown === null || half === null ? null : shown - half,
        [`${angle}_shown_high_deg`]: shown === null || half === null ? null : shown + half,
        [`${angle}_repeat_sd_deg`]: root(mean_var_deg2),
        [`${angle}_set_up_sd_deg`]: root(set_up_var_deg2),
        [`${angle}_bias_deg`]: bias_deg,
        [`${angle}_bias_sd_deg`]: root(bias_var_deg2),
        [`${angle}_move_sd_deg`]:
            expected.var_deg2 === null || var_deg2 === null
                ? null
                : Math.sqrt(Math.max(expected.var_deg2 - var_deg2, 0)),
    };
}

/** How far the angle goes from the present true one, with the part of the uncertainty that moving brings; and what is aimed at. */
function changeColumns(angle: 'camber' | 'caster', { goal, corner, [angle]: expected }: Setting) {
    const before = trueAngle(corner[angle]);
    const change = expected.deg === null || before === null ? null : expected.deg - before;
    const readVar = corner[angle].var_deg2;
    const half =
        change === null || expected.var_deg2 === null || readVar === null
            ? null
            : HALF_WIDTH * Math.sqrt(Math.max(expected.var_deg2 - readVar, 0));
    return {
        [`${angle}_change_deg`]: change,
        [`${angle}_change_low_deg`]: change === null || half === null ? null : change - half,
        [`${angle}_change_high_deg`]: change === null || half === null ? null : change + half,
        [`wanted_${angle}_deg`]: goal[`${angle}_deg`],
        [`wanted_${angle}_within_deg`]: goal[`${angle}_tol_deg`],
    };
}

/** Whether the tolerance lies on the one scale less than `step` marks from `mark`, outside it, so that finer steps reach it. */
function isBetweenMarks(setting: Setting, mark: number, step: number): boolean {
    const { corner, goal, plate_index, plate_hand, own_hand } = setting;
    const { plate, slopes } = corner;
    const [here, there] = [mark, mark + 1].map(
        (one) => plateOffset(plate, plate_index, plate_hand !== own_hand, one, 0)!,
    );
    const bands = (['camber', 'caster'] as const).flatMap((angle) => {
        const [{ deg }, middle, tolerance] = [setting[angle], goal[`${angle}_deg`], goal[`${angle}_tol_deg`]];
        if (deg === null || middle === null || tolerance === null) return [];
        const perMark = slopeChange(
            slopes[angle],
            there!.out_mm - here!.out_mm,
            there!.aft_mm - here!.aft_mm,
        );
        return [[(middle - tolerance - deg) / perMark, (middle + tolerance - deg) / perMark]];
    });
    const from = Math.max(-step, plate.mark_min - mark, ...bands.map((ends) => Math.min(...ends)));
    return from <= Math.min(step, plate.mark_max - mark, ...bands.map((ends) => Math.max(...ends)));
}

/** What keeps the expected angles of a setting out of tolerance; null inside. */
function stopOf(setting: Setting, needed: { out_mm: number; aft_mm: number }, step: number): string | null {
    const { mark_1, mark_2, excess } = setting;
    const { plate } = setting.corner;
    if (excess === 0) return null;
    const atEnd =
        mark_1 === plate.mark_min ||
        mark_1 === plate.mark_max ||
        (plate.two_scales && (mark_2 === plate.mark2_min || mark_2 === plate.mark2_max));
    const between =
        mark_1 === null || plate.two_scales
            ? !atEnd &&
              Math.sqrt(needed.out_mm * needed.out_mm + needed.aft_mm * needed.aft_mm) < step * plate.pitch_mm
            : isBetweenMarks(setting, mark_1, step);
    if (between) return 'between_marks';
    return atEnd ? 'scale_end' : 'slot_direction';
}

/** The row of one side of `pair`, with the columns of the question `advised`. */
function sideRow(
    normal: Normal,
    pair: Pair,
    side: 'left' | 'right',
    firstPair: Pair,
    step: number,
    units: ToeUnits,
) {
    const setting = pair[side]!;
    const { corner, goal, camber, caster } = setting;
    const { plate, slopes } = corner;
    const second = <T>(value: T) => (plate.two_scales ? value : null);
    const needed = moveNeeded(slopes.camber, slopes.caster, camber.short_deg, caster.short_deg);
    return {
        vehicle: corner.vehicle,
        chassis: corner.chassis,
        corner: corner.corner,
        target: goal.target,
        target_order: goal.target_order,
        kit: corner.new_kit,
        plate_hand: setting.plate_hand,
        plate_index: setting.plate_index,
        mark_1: setting.mark_1,
        mark_2: second(setting.mark_2),
        mark_min: plate.mark_min,
        mark_max: plate.mark_max,
        mark2_min: second(plate.mark2_min),
        mark2_max: second(plate.mark2_max),
        present_kit: corner.kit,
        present_hand: corner.plate_hand,
        present_index: corner.plate_index,
        present_mark_1: corner.mark_1,
        present_mark_2: second(corner.mark_2),
        present_camber_deg: corner.camber.deg,
        present_caster_deg: corner.caster.deg,
        present_toe_deg: corner.toe.deg,
        stay: setting.stay,
        same_clocking: setting.same_clocking,
        offset_out_mm: setting.out_mm,
        offset_aft_mm: setting.aft_mm,
        move_out_mm: setting.move_out_mm,
        move_aft_mm: setting.move_aft_mm,
        ...angleColumns('camber', camber, corner.camber),
        ...angleColumns('caster', caster, corner.caster),
        ...changeColumns('camber', setting),
        ...changeColumns('caster', setting),
        reachable: setting.excess === 0,
        p_in_tolerance: isUnread(setting) ? null : setting.p,
        p_both: pair.p_both,
        p_camber_in_tolerance: withinGoal(normal, setting, 'camber'),
        p_caster_in_tolerance: withinGoal(normal, setting, 'caster'),
        p_cross_camber: withinCross(normal, pair, 'camber'),
        p_cross_caster: withinCross(normal, pair, 'caster'),
        short_camber_deg: camber.short_deg,
        short_caster_deg: caster.short_deg,
        short_out_mm: setting.excess > 0 ? needed.out_mm : null,
        short_aft_mm: setting.excess > 0 ? needed.aft_mm : null,
        stop: stopOf(setting, needed, step),
        cross_camber_deg: pair.cross_camber_deg,
        cross_caster_deg: pair.cross_caster_deg,
        cross_camber_max_deg: goal.cross_camber_max_deg,
        cross_caster_max_deg: goal.cross_caster_max_deg,
        target_cross_camber_deg: goal.cross_camber_deg,
        target_cross_caster_deg: goal.cross_caster_deg,
        target_camber_deg: goal.camber_deg,
        camber_tol_deg: goal.camber_tol_deg,
        target_caster_deg: goal.caster_deg,
        caster_tol_deg: goal.caster_tol_deg,
        target_toe_deg: goal.toe_deg,
        toe_tol_deg: goal.toe_tol_deg,
        ...toeColumns(normal, pair, side, firstPair, units),
        camber_basis: slopes.camber.basis,
        caster_basis: slopes.caster.basis,
        toe_basis: slopes.toe.basis,
        camber_move_count: slopes.camber.move_count,
        caster_move_count: slopes.caster.move_count,
        toe_move_count: slopes.toe.move_count,
    };
}

export type AdvisedSetting = ReturnType<typeof sideRow> & Record<string, unknown>;

/** The rows of `pairs`, one per goal in their order: left before right. `units`: how toe is wanted besides degrees. */
export function rowsOf(
    normal: Normal,
    pairs: readonly Pair[],
    step: number,
    units: ToeUnits,
): AdvisedSetting[] {
    return pairs.flatMap((pair) =>
        (['left', 'right'] as const)
            .filter((side) => pair[side] !== null)
            .map((side) => sideRow(normal, pair, side, pairs[0]!, step, units)),
    );
}

/**
 * Where to put the bearings of one car: one row per goal and front corner, in that order, with the angles to expect (95 % intervals, of
 * true angles), the chance to be in tolerance, and toe. Left and right are chosen together; see {@link bestPairs}. Needs no database.
 */
export function advisedSettings(
    normal: Normal,
    corners: Corners,
    search: Search,
    units: ToeUnits,
): AdvisedSetting[] {
    return rowsOf(normal, bestPairs(normal, corners, search), search.step, units);
}
