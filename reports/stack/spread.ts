/**
 * Places for labels down a column: each as near to its `wanted` height as a distance of at least `step` to its neighbours allows, all
 * between `low` and `high` where they have room. In the order given; units are those of the drawing.
 */
export function spread(wanted: readonly number[], step: number, low: number, high: number): number[] {
    const order = wanted.map((_, index) => index).sort((a, b) => wanted[a]! - wanted[b]!);
    const places: number[] = [];
    let floor = low;
    for (const index of order) {
        places[index] = Math.max(wanted[index]!, floor);
        floor = places[index]! + step;
    }
    let ceiling = high;
    for (const index of order.reverse()) {
        places[index] = Math.min(places[index]!, ceiling);
        ceiling = places[index]! - step;
    }
    return places;
}
