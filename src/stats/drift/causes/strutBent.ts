import * as patterns from '../patterns.js';
import type { CornerCause } from './cause.js';

export const strutBent = {
    name: 'strut_bent',
    level: 'corner',
    class: 'bent',
    share: 0.01,
    words: 'strut bent, or strut-to-knuckle bolts moved',
    meaning: 'strut, or strut-to-knuckle bolts',
    ofMeasuring: false,
    stop: true,
    undone: 0.1,
    sizes: [
        { share: 0.3, ways: [{ pattern: patterns.strut, mean: 0.3, sd: 0.12, share: 1 }] },
        { share: 0.4, ways: [{ pattern: patterns.strut, mean: 0.6, sd: 0.2, share: 1 }] },
        { share: 0.3, ways: [{ pattern: patterns.strut, mean: 1.1, sd: 0.4, share: 1 }] },
    ],
} as const satisfies CornerCause;
