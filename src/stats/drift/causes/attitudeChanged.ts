import * as patterns from '../carPatterns.js';
import type { CarCause } from './cause.js';

export const attitudeChanged = {
    name: 'attitude_changed',
    level: 'car',
    class: 'other',
    share: 0.02,
    words: 'the car stood higher or lower: ride height, load or tyre pressure',
    meaning: 'ride height, load or tyre pressure; heights that were written tell',
    ofMeasuring: true,
    stop: false,
    undone: 0.5,
    ways: [
        { pattern: patterns.frontHeight, sd: 12, share: 0.25 },
        { pattern: patterns.steepFrontHeight, sd: 12, share: 0.15 },
        { pattern: patterns.rearHeight, sd: 15, share: 0.2 },
        { pattern: patterns.wholeHeight, sd: 12, share: 0.25 },
        { pattern: patterns.steepWholeHeight, sd: 12, share: 0.15 },
    ],
} as const satisfies CarCause;
