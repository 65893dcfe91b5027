import { requirePackage } from './requirePackage.js';

/** A function of doubles; NaN where it is not defined. */
export type DoubleFunction = (...values: number[]) => number;

/** What package `name` exports, loaded at its first call: each package brings hundreds of others, too slow for every start. */
export function lazily(name: string): DoubleFunction {
    let loaded: DoubleFunction | undefined;
    return (...values) => {
        loaded ??= requirePackage(name) as DoubleFunction;
        return loaded(...values);
    };
}

/** Whether degrees of freedom or a shape lie where the library answers rightly; beyond, it returns 0 or loses digits. */
export function isShape(value: number): boolean {
    return value > 0 && value <= 1e8;
}
