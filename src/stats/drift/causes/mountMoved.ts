import * as patterns from '../patterns.js';
import { type CornerCause, oneSize } from './cause.js';

export const mountMoved = {
    name: 'mount_moved',
    level: 'corner',
    class: 'plate_moved',
    share: 0.005,
    words: 'the plate moved on the tower, or the tower itself',
    meaning: 'plate on its tower, or the tower; null where the plate slides in a plane, which looks the same',
    ofMeasuring: false,
    stop: false,
    undone: 0.1,
    sizes: oneSize({ pattern: patterns.move, mean: 3, sd: 1.2, share: 1 }),
} as const satisfies CornerCause;
