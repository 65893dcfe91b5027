import * as patterns from '../patterns.js';
import type { CornerCause } from './cause.js';

export const spindleBent = {
    name: 'spindle_bent',
    level: 'corner',
    class: 'bent',
    share: 0.01,
    words: 'knuckle or spindle bent, or rim run-out',
    meaning: 'knuckle or spindle, or rim run-out',
    ofMeasuring: false,
    stop: true,
    undone: 0.1,
    sizes: [
        { share: 0.3, ways: [{ pattern: patterns.spindle, mean: 0.3, sd: 0.12, share: 1 }] },
        { share: 0.4, ways: [{ pattern: patterns.spindle, mean: 0.6, sd: 0.2, share: 1 }] },
        { share: 0.3, ways: [{ pattern: patterns.spindle, mean: 1.1, sd: 0.4, share: 1 }] },
    ],
} as const satisfies CornerCause;
