import type { Vector } from './model.js';

/** Corners, in order, of the set middle + sum of t_i g_i with every t_i from -1 to 1. */
export function zonotope(middle: Vector, generators: readonly Vector[]): Vector[] {
    const up = generators
        .filter(({ out, aft }) => Math.hypot(out, aft) > 1e-9)
        .map(({ out, aft }) => (aft < 0 || (aft === 0 && out < 0) ? { out: -out, aft: -aft } : { out, aft }))
        .sort((a, b) => Math.atan2(a.aft, a.out) - Math.atan2(b.aft, b.out));
    let point = up.reduce((sum, g) => ({ out: sum.out - g.out, aft: sum.aft - g.aft }), middle);
    const corners = [point];
    for (const sign of [1, -1]) {
        for (const g of up) {
            point = { out: point.out + 2 * sign * g.out, aft: point.aft + 2 * sign * g.aft };
            corners.push(point);
        }
    }
    return corners.slice(0, -1);
}
