import type { Categories } from './categories.js';
import type { Parts } from './weigh.js';

/**
 * Probability of each cause on one front, by name in their order: a cause on the car counts where this front held under it; where it
 * slipped besides, the slip counts.
 */
export function causesOf(
    { corner, car, slips }: Categories,
    parts: Parts,
    front: number,
): Map<string, number> {
    const found = new Map<string, number>();
    const add = (cause: string, value: number) => found.set(cause, (found.get(cause) ?? 0) + value);
    for (const [k, { cause }] of corner.entries()) add(cause, parts.alone[front]![k]!);
    for (const [c, { cause }] of car.entries()) {
        if (c > 0) add(cause, parts.held[c]!);
        for (const [j, own] of parts.slips.entries()) {
            for (const [s, value] of own[c]!.entries()) {
                if (j === front) add(corner[slips[s]!]!.cause, value);
                else if (c > 0) add(cause, value);
            }
        }
    }
    return new Map([...found].sort(([a], [b]) => (a < b ? -1 : 1)));
}
