import type { Vector } from './model.js';

/** The part of a convex polygon within `limit` of the origin along both axes (Sutherland and Hodgman 1974). */
export function clipped(polygon: readonly Vector[], limit: number): Vector[] {
    const sides = (['out', 'aft'] as const).flatMap((axis) => [1, -1].map((sign) => ({ axis, sign })));
    return sides.reduce<Vector[]>(
        (points, { axis, sign }) => {
            const room = (point: Vector) => limit - sign * point[axis];
            return points.flatMap((point, place) => {
                const before = points.at(place - 1)!;
                const [from, to] = [room(before), room(point)];
                if (from < 0 === to < 0) return to < 0 ? [] : [point];
                const share = from / (from - to);
                const edge = {
                    out: before.out + share * (point.out - before.out),
                    aft: before.aft + share * (point.aft - before.aft),
                };
                return to < 0 ? [edge] : [edge, point];
            });
        },
        [...polygon],
    );
}
