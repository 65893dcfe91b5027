import { degToRad, radToDeg } from './conversions.js';

/** Camber of a wheel steered by the same angle either way; `in`: its front points inboard. Signs of the contract. */
interface Sweep {
    camber_in_deg: number;
    camber_out_deg: number;
    /** Angle of the wheel from straight ahead, seen from above, as a turntable shows it; over 0 and under 90. */
    steer_deg: number;
}

type Vec = readonly [number, number, number];

/** Unit vector along the wheel's axis, outboard; x rearward, y outboard, z up. */
function wheelAxis(toe_deg: number, camber_deg: number): Vec {
    const [t, c] = [degToRad(toe_deg), degToRad(camber_deg)];
    return [-Math.sin(t) * Math.cos(c), Math.cos(t) * Math.cos(c), -Math.sin(c)];
}

const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

/**
 * Caster in degrees from a steering sweep, by the exact rotation: the wheel turns as a rigid body about the steering axis,
 * so the wheel's axis keeps its angle to it, and the steering axis is at right angles to every difference of two positions
 * of the wheel's axis. One more fact is needed: SAI, or camber (and toe) straight ahead. The small-angle formula, change
 * of camber / (2 sin steer), is off by up to 0.24 degrees. Source: rigid rotation, from first principles; axes and angles
 * as ISO 8855:2011 with the mirrored signs of the contract.
 */
export function sweepCaster(
    { camber_in_deg, camber_out_deg, steer_deg }: Sweep,
    known: { sai_deg: number } | { camber_deg: number; toe_deg: number },
): number {
    const turnedIn = wheelAxis(steer_deg, camber_in_deg);
    const turnedOut = wheelAxis(-steer_deg, camber_out_deg);
    if ('sai_deg' in known) {
        const [x, y, z] = minus(turnedIn, turnedOut);
        return radToDeg(Math.atan((Math.tan(degToRad(known.sai_deg)) * y - z) / x));
    }
    const straight = wheelAxis(known.toe_deg, known.camber_deg);
    const [ax, ay, az] = minus(turnedOut, straight);
    const [bx, by, bz] = minus(turnedIn, straight);
    return radToDeg(Math.atan((ay * bz - az * by) / (ax * by - ay * bx)));
}
