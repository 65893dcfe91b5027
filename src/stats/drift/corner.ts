import type { Chassis, Slope } from './chassis.js';
import { type Changes, type Vector, vector } from './gaussian.js';

/** A corner over a session, read before and after. */
export interface Corner {
    /** 1 on the left, -1 on the right. */
    side: number;
    changes: Changes;
    /** Degrees that camber as read falls per degree of toe, 0 where it is at equal toe. */
    toePart: number;
    /** Degrees that camber at equal toe rises per degree that toe is read wrong, 0 where it is as read. */
    toeReadPart: number;
}

export interface Front extends Corner {
    chassis: Chassis;
    /** slot: the plate slides along one line; plane: along two, or not known which; none: it cannot slide. */
    freedom: 'slot' | 'plane' | 'none';
    /** Direction of the first scale, outboard and rearward parts of a unit vector; null where not known. */
    slot: readonly [number, number] | null;
}

/** How much likelier what was read after the next setting is than if nothing had moved: where that undid what moved, and where it is still there. */
export interface AfterSet {
    /** The last state before that setting; null where it tells nothing. */
    last: number | null;
    undone: number;
    remains: number;
    /** Probability that what moved was put right before that setting, without a record. */
    putRight: number;
}

/** Changes for a move of the bearing, mm; camber at equal toe where toe was read, else as read. */
export function moved({ chassis, toePart }: Front, out: number, aft: number): Vector {
    const effect = (slope: Slope) => slope.out * out + slope.aft * aft;
    const [camber, caster, sai, toe] = chassis.slopes;
    const ofToe = effect(toe);
    return vector(effect(camber) - toePart * ofToe, effect(caster), effect(sai), ofToe, out, aft);
}

/** Variances per mm2 of the changes for a move along `direction`, or any where null, from what is not known of the slopes. */
export function unknownOfMove(
    { chassis, toePart }: Front,
    direction: readonly [number, number] | null,
): Vector {
    // Any direction: on average over them.
    const [outOut, outAft, aftAft] =
        direction === null
            ? [0.5, 0, 0.5]
            : [direction[0] * direction[0], 2 * direction[0] * direction[1], direction[1] * direction[1]];
    const variance = (slope: Slope) =>
        slope.spread + slope.outVariance * outOut! + slope.covariance * outAft! + slope.aftVariance * aftAft!;
    const [camber, caster, sai, toe] = chassis.slopes;
    const ofToe = variance(toe);
    return vector(variance(camber) + toePart * toePart * ofToe, variance(caster), variance(sai), ofToe);
}

/** Effects of a slip by a millimetre in each direction that the plate allows: along its slot, or outboard and rearward. */
export function slipsOf(front: Front): Vector[] {
    if (front.freedom === 'none') return [];
    if (front.freedom === 'plane') return [moved(front, 1, 0), moved(front, 0, 1)];
    return [moved(front, ...front.slot!)];
}

/** Variances per mm2 of the changes for a slip. */
export const unknownOfSlip = (front: Front): Vector =>
    unknownOfMove(front, front.freedom === 'slot' ? front.slot : null);
