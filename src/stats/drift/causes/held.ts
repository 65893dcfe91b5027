import * as patterns from '../patterns.js';
import { type CornerCause, oneSize } from './cause.js';

export const held = {
    name: 'held',
    level: 'corner',
    class: 'held',
    share: Number.NaN,
    words: 'nothing moved',
    ofMeasuring: false,
    stop: false,
    undone: 1,
    sizes: oneSize({ pattern: patterns.held, mean: 0, sd: 0, share: 1 }),
} as const satisfies CornerCause;
