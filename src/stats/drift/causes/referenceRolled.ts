import * as patterns from '../carPatterns.js';
import type { CarCause } from './cause.js';

export const referenceRolled = {
    name: 'reference_rolled',
    level: 'car',
    class: 'other',
    share: 0.02,
    words: 'the floor, or the reference of the gauge, rolled',
    meaning: 'floor or reference of the gauge; all corners',
    ofMeasuring: true,
    stop: false,
    undone: 0.5,
    ways: [{ pattern: patterns.roll, sd: 0.25, share: 1 }],
} as const satisfies CarCause;
