import * as patterns from '../carPatterns.js';
import type { CarCause } from './cause.js';

export const steeringOff = {
    name: 'steering_off',
    level: 'car',
    class: 'other',
    share: 0.01,
    words: 'the steering was not straight in one of the readings',
    meaning: 'steering not straight in one of the readings',
    ofMeasuring: true,
    stop: false,
    undone: 0.9,
    ways: [{ pattern: patterns.steering, sd: 0.25, share: 1 }],
} as const satisfies CarCause;
