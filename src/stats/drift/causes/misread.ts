import * as patterns from '../patterns.js';
import { type CornerCause, oneSize } from './cause.js';

export const misread = {
    name: 'misread',
    level: 'corner',
    class: 'other',
    share: 0.005,
    words: 'one reading is wrong',
    meaning: 'one wrong reading',
    ofMeasuring: true,
    stop: false,
    undone: 1,
    sizes: oneSize(
        { pattern: patterns.camber, mean: 0, sd: 1, share: 0.25 },
        { pattern: patterns.caster, mean: 0, sd: 2, share: 0.25 },
        { pattern: patterns.sai, mean: 0, sd: 2, share: 0.25 },
        { pattern: patterns.toeMisread, mean: 0, sd: 1, share: 0.25 },
    ),
} as const satisfies CornerCause;
