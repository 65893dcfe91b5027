import type { CarPattern } from '../carPatterns.js';
import type { Front } from '../corner.js';
import type { Pattern } from '../patterns.js';

/** What drift says of a corner; see the contract. */
export type Class = 'held' | 'plate_moved' | 'bent' | 'other';

interface Named {
    name: string;
    class: Class;
    /** Share of corner sessions, or of sessions of cars, before the data; NaN for what is left. Common practice, no source. */
    share: number;
    /** What it is called in a sentence. */
    words: string;
    /** What its probability is of, where the words are not enough. */
    meaning?: string;
    /** It lies in the measuring or in how the car stood, and no part of the car has moved. */
    ofMeasuring: boolean;
    /** Do not run the car until it has been inspected. */
    stop: boolean;
    /** Probability that it is gone once the bearing was set anew by its pointers (common practice, no source). */
    undone: number;
}

/** A normal density of the size, about plus and minus a mean: mm for moves of the bearing, degrees for the others. */
export interface Way {
    pattern: (front: Front) => Pattern | null;
    mean: number;
    sd: number;
    /** Share within the size class, both signs together. */
    share: number;
}

/** What may happen to one front. Slips under half a millimetre count as held. */
export interface CornerCause extends Named {
    level: 'corner';
    /** Size classes with their shares within the cause; each has odds of its own, which the data correct. */
    sizes: readonly { share: number; ways: readonly Way[] }[];
    /** It is a slip of the bearing in its plate, which is weighed beside causes on the car. */
    isSlip?: boolean;
}

/** What may happen to the whole car: both fronts and the rears together. Sizes are normal about 0. */
export interface CarCause extends Named {
    level: 'car';
    ways: readonly { pattern: CarPattern; sd: number; share: number }[];
}

/** One size class, of one pattern. */
export const oneSize = (...ways: readonly Way[]) => [{ share: 1, ways }];
