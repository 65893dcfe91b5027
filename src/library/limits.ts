import { UsageError } from '../errors/errors.js';
import { unreadableNumber } from '../errors/messages.js';

/** Lowest and highest number that an option takes; `whole`: integers only. */
export interface Limits {
    low: number;
    high: number;
    whole?: true;
}

/** Options with numbers, by the name that they have in the library. */
export const limits = {
    /** Steps in which the pointers can be set, marks. */
    step: { low: 0.1, high: 10 },
    lose: { low: 0, high: 12 },
    margin: { low: 0, high: 60 },
    limit: { low: -12, high: 20 },
    within: { low: 0.01, high: 6 },
    toeDiameter: { low: 1, high: 2000 },
    threadPitch: { low: 0.5, high: 4 },
    armLength: { low: 50, high: 300 },
    index: { low: 1, high: 12, whole: true },
    mark: { low: -60, high: 60 },
    guard: { low: 0, high: 5 },
    comeBackDays: { low: 1, high: 366, whole: true },
    slopeWithin: { low: 0.0001, high: 1 },
    shareWithin: { low: 0.1, high: 50 },
    keepSpringPlate: { low: 0, high: 200 },
    stackLimit: { low: 1, high: 1000, whole: true },
    wait: { low: 0, high: 86_400 },
} as const satisfies Record<string, Limits>;

export function isWithin(value: number, { low, high, whole }: Limits): boolean {
    return value >= low && value <= high && (whole !== true || Number.isInteger(value));
}

/** A {@link UsageError} for a number out of its limits; `name` as its reader gave it. */
export function outOfLimits(name: string, value: unknown, { low, high, whole }: Limits): UsageError {
    const range = `${whole ? 'a whole number' : 'a number'} from ${low} to ${high}`;
    return new UsageError(unreadableNumber(name, String(value), range));
}

/** Throws a {@link UsageError} where a number of `options` is out of its limits. */
export function requireLimits(options: object): void {
    for (const [name, value] of Object.entries(options)) {
        const own = (limits as Readonly<Record<string, Limits | undefined>>)[name];
        if (own === undefined || value === undefined || value === true) continue;
        if (typeof value !== 'number' || !isWithin(value, own)) throw outOfLimits(name, value, own);
    }
}
