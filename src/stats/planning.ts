import { tQuantile } from './studentT.js';

/** More than this is no plan. */
const MOST = 1_000_000;

/** The least whole number from `from` on that `fits`, which stays true once it is; null beyond {@link MOST}. */
function least(from: number, fits: (n: number) => boolean): number | null {
    let [low, high] = [from - 1, from];
    while (!fits(high)) {
        if (high > MOST) return null;
        [low, high] = [high, 2 * high];
    }
    while (high - low > 1) {
        const middle = Math.floor((low + high) / 2);
        if (fits(middle)) high = middle;
        else low = middle;
    }
    return high;
}

/**
 * Cars for a 95 % t interval of half-width `within` where the squared standard error falls as `perCar` / cars, cars - 1 degrees of
 * freedom at most (one cluster a car). Null where no number does.
 */
export function carsForMean(perCar: number, within: number): number | null {
    return least(2, (cars) => tQuantile(0.975, cars - 1) * Math.sqrt(perCar / cars) <= within);
}

/** Half of the width of Wilson's 95 % interval of share `p` of `n` independent ones (Wilson 1927; Brown, Cai and DasGupta 2001). */
export function wilsonHalfWidth(p: number, n: number): number {
    const z = 1.959963984540054;
    return (z / (1 + (z * z) / n)) * Math.sqrt((p * (1 - p)) / n + (z * z) / (4 * n * n));
}

/** Cars for a Wilson interval of half-width `within` where each car is worth `perCar` independent corners. */
export function carsForShare(p: number, perCar: number, within: number): number | null {
    return least(1, (cars) => wilsonHalfWidth(p, perCar * cars) <= within);
}
