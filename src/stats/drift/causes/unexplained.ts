import * as patterns from '../patterns.js';
import { type CornerCause, oneSize } from './cause.js';

export const unexplained = {
    name: 'unexplained',
    level: 'corner',
    class: 'other',
    share: 0.002,
    words: 'several angles changed in no known pattern',
    meaning: 'several angles in no known pattern',
    ofMeasuring: false,
    stop: false,
    undone: 0.5,
    sizes: oneSize({ pattern: patterns.unexplained, mean: 0, sd: 1, share: 1 }),
} as const satisfies CornerCause;
