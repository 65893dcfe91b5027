import type { Judged, Vector } from './model.js';
import type { Slot } from './slots.js';

const dot = (a: Vector, b: Vector) => a.out * b.out + a.aft * b.aft;
const across = ({ out, aft }: Vector): Vector => ({ out: -aft, aft: out });

function asked(gap: number, perMm: number): number {
    if (gap <= 1e-9) return 0;
    return perMm < 1e-9 ? Number.POSITIVE_INFINITY : gap / perMm;
}

/**
 * Least half-length (mm) of a slot from which a target is met within tolerance at a corner that needs offset `need`; infinite
 * where no length does. The same as the SQL function `required_half_length`, by separating axes.
 */
export function requiredHalfLength(need: Vector, slot: Slot, camber: Judged, caster: Judged): number {
    const gap = { out: need.out - slot.middle.out, aft: need.aft - slot.middle.aft };
    const byAngle = [camber, caster].map(({ slope, tol }) =>
        tol === null
            ? 0
            : asked(
                  Math.abs(dot(gap, slope)) - tol - Math.abs(dot(slot.side, slope)),
                  Math.abs(dot(slot.along, slope)),
              ),
    );
    if (camber.tol === null || caster.tol === null) return Math.max(...byAngle);
    const det = Math.abs(camber.slope.out * caster.slope.aft - camber.slope.aft * caster.slope.out);
    const span = (normal: Vector) =>
        (camber.tol! * Math.abs(dot(normal, across(caster.slope))) +
            caster.tol! * Math.abs(dot(normal, across(camber.slope)))) /
        det;
    const acrossSlot = across(slot.along);
    const acrossSide = across(slot.side);
    return Math.max(
        ...byAngle,
        asked(Math.abs(dot(gap, acrossSlot)) - Math.abs(dot(slot.side, acrossSlot)) - span(acrossSlot), 0),
        asked(Math.abs(dot(gap, acrossSide)) - span(acrossSide), Math.abs(dot(slot.along, acrossSide))),
    );
}
