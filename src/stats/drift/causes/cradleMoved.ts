import * as patterns from '../carPatterns.js';
import type { CarCause } from './cause.js';

/** The same as both bearings moved the other way (exact geometry). */
export const cradleMoved = {
    name: 'cradle_moved',
    level: 'car',
    class: 'other',
    share: 0.005,
    words: 'the cradle moved sideways',
    meaning: 'sideways; both fronts',
    ofMeasuring: false,
    stop: false,
    undone: 0.1,
    ways: [{ pattern: patterns.cradle, sd: 3, share: 1 }],
} as const satisfies CarCause;
