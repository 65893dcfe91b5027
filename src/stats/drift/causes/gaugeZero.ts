import * as patterns from '../carPatterns.js';
import type { CarCause } from './cause.js';

export const gaugeZero = {
    name: 'gauge_zero',
    level: 'car',
    class: 'other',
    share: 0.01,
    words: 'the zero of the gauge, or the rake of the car, changed',
    meaning: 'zero of the gauge, or rake; all corners alike',
    ofMeasuring: true,
    stop: false,
    undone: 0.5,
    ways: [
        { pattern: patterns.camberZero, sd: 0.25, share: 0.5 },
        { pattern: patterns.casterZero, sd: 0.4, share: 0.3 },
        { pattern: patterns.toeZero, sd: 0.12, share: 0.2 },
    ],
} as const satisfies CarCause;
