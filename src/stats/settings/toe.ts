import type { Pair } from './pairs.js';
import { placeErrorCov, type Setting, slopeChange, slopeChangeVar, spreadChangeVar } from './predicted.js';
import { HALF_WIDTH, type Normal } from './problem.js';

/** Toe as millimetres at a diameter: D sin(toe). */
export function toeInMm(toe_deg: number | null, diameter_mm: number | null): number | null {
    return toe_deg === null || diameter_mm === null
        ? null
        : diameter_mm * Math.sin((toe_deg * Math.PI) / 180);
}

/** How toe is to be said besides degrees; null = not. */
export interface ToeUnits {
    /** Diameter at which mm are wanted. */
    diameter_mm: number | null;
    /** Length of the steering arm, tie-rod end to steering axis, and travel of the tie rod in one turn. */
    arm_mm: number | null;
    turn_mm: number | null;
}

/** Toe as turns of the tie rod: the arm's end moves by arm sin(toe); at toe near 0 the rod is taken as square to the arm. */
export function toeInTurns(toe_deg: number, { arm_mm, turn_mm }: ToeUnits): number | null {
    return arm_mm === null || turn_mm === null ? null : toeInMm(toe_deg, arm_mm)! / turn_mm;
}

/** Columns `name`, `name_low`, `name_high` with the unit last: an estimate and its 95 % interval, all null without a variance. */
function withInterval(name: string, value: number | null, variance: number | null) {
    const half = variance === null ? null : HALF_WIDTH * Math.sqrt(variance);
    const known = value !== null && half !== null;
    return {
        [`${name}_deg`]: value,
        [`${name}_low_deg`]: known ? value - half : null,
        [`${name}_high_deg`]: known ? value + half : null,
    };
}

/** Toe of both wheels together: the chassis' slope acts on the sum of the moves. */
function total({ left, right }: Pair) {
    if (left === null || right === null) return null;
    const { var_out, var_aft, cov_out_aft } = left.corner.slopes.toe;
    const cross =
        var_out * left.move_out_mm * right.move_out_mm +
        cov_out_aft * (left.move_out_mm * right.move_aft_mm + left.move_aft_mm * right.move_out_mm) +
        var_aft * left.move_aft_mm * right.move_aft_mm;
    return {
        change: left.toe_change_deg + right.toe_change_deg,
        variance: left.toe_change_var_deg2 + right.toe_change_var_deg2 + 2 * cross,
    };
}

/** Variance of the present toe, where the goal names a toe and one was read. */
function readVar({ goal, corner }: Setting): number {
    return goal.toe_deg === null || corner.toe.deg === null ? 0 : corner.toe.var_deg2!;
}

/** What toe does on the way from the setting at the first goal to this one, tie rods untouched. */
export function toeBetween(setting: Setting, first: Setting) {
    const slope = setting.corner.slopes.toe;
    const out = setting.out_mm - first.out_mm;
    const aft = setting.aft_mm - first.aft_mm;
    return {
        change: slopeChange(slope, out, aft),
        variance:
            slopeChangeVar(slope, out, aft) +
            spreadChangeVar(slope, out, aft) +
            (Math.sqrt(out * out + aft * aft) < 1e-6
                ? 0
                : 2 * placeErrorCov(slope, slope, setting.set_error)),
    };
}

/** The toe at the first goal that keeps both goals in the middle of what their tolerances leave, and the chance that it does. */
function oneToe(normal: Normal, setting: Setting, first: Setting, between: ReturnType<typeof toeBetween>) {
    const [from, to] = [first.goal, setting.goal];
    if (from.toe_deg === null || from.toe_tol_deg === null) return null;
    if (to.toe_deg === null || to.toe_tol_deg === null) return null;
    const [low, high] = [from.toe_deg - from.toe_tol_deg, from.toe_deg + from.toe_tol_deg];
    const middle =
        (Math.max(low, to.toe_deg - to.toe_tol_deg - between.change) +
            Math.min(high, to.toe_deg + to.toe_tol_deg - between.change)) /
        2;
    const toe = Math.min(Math.max(middle, low), high);
    const sd = Math.sqrt(Math.max(between.variance, 1e-12));
    return {
        toe,
        p:
            normal.cdf((to.toe_deg + to.toe_tol_deg - toe - between.change) / sd) -
            normal.cdf((to.toe_deg - to.toe_tol_deg - toe - between.change) / sd),
    };
}

/** The columns of `advise` about toe, of one side of `pair`; `firstPair`: what is set at the first goal. */
export function toeColumns(
    normal: Normal,
    pair: Pair,
    side: 'left' | 'right',
    firstPair: Pair,
    units: ToeUnits,
) {
    const { diameter_mm } = units;
    const setting = pair[side]!;
    const other = pair[side === 'left' ? 'right' : 'left'];
    const both = total(pair);
    const putBack = {
        value: setting.toe_short_deg - setting.toe_change_deg,
        variance: setting.toe_change_var_deg2 + readVar(setting),
    };
    const totalBack =
        both === null || other === null
            ? null
            : {
                  value: setting.toe_short_deg + other.toe_short_deg - both.change,
                  variance: both.variance + readVar(setting) + readVar(other),
              };
    const isLater = pair !== firstPair;
    const first = firstPair[side]!;
    const between = isLater ? toeBetween(setting, first) : null;
    const totalBetween =
        isLater && pair.left !== null && pair.right !== null
            ? toeBetween(pair.left, firstPair.left!).change + toeBetween(pair.right, firstPair.right!).change
            : null;
    const one = between === null ? null : oneToe(normal, setting, first, between);
    const back = withInterval('toe_put_back', putBack.value, putBack.variance) as Record<string, number>;
    const inTotal = withInterval(
        'toe_total_put_back',
        totalBack?.value ?? null,
        totalBack?.variance ?? null,
    ) as Record<string, number | null>;
    return {
        ...withInterval('toe_change', setting.toe_change_deg, setting.toe_change_var_deg2),
        ...withInterval('toe_total_change', both?.change ?? null, both?.variance ?? null),
        ...back,
        toe_put_back_turns: toeInTurns(back.toe_put_back_deg!, units),
        toe_put_back_mm: toeInMm(back.toe_put_back_deg!, diameter_mm),
        toe_put_back_low_mm: toeInMm(back.toe_put_back_low_deg!, diameter_mm),
        toe_put_back_high_mm: toeInMm(back.toe_put_back_high_deg!, diameter_mm),
        ...inTotal,
        toe_total_put_back_mm: toeInMm(inTotal.toe_total_put_back_deg!, diameter_mm),
        ...withInterval('toe_between', between?.change ?? null, between?.variance ?? null),
        toe_total_between_deg: totalBetween,
        one_toe_deg: one?.toe ?? null,
        p_one_toe: one?.p ?? null,
    };
}
