import * as patterns from '../patterns.js';
import { type CornerCause, oneSize } from './cause.js';

export const lowerArmMoved = {
    name: 'lower_arm_moved',
    level: 'corner',
    class: 'other',
    share: 0.005,
    words: 'lower arm, its bracket or its bush moved',
    meaning: 'lower arm, its bracket or bush',
    ofMeasuring: false,
    stop: true,
    undone: 0.1,
    sizes: oneSize(
        { pattern: patterns.armToeIn, mean: 0.15, sd: 0.07, share: 0.2 },
        { pattern: patterns.armToeIn, mean: 0.35, sd: 0.15, share: 0.15 },
        { pattern: patterns.armToeOut, mean: 0.15, sd: 0.07, share: 0.2 },
        { pattern: patterns.armToeOut, mean: 0.35, sd: 0.15, share: 0.15 },
        { pattern: patterns.caster, mean: 0.4, sd: 0.2, share: 0.2 },
        { pattern: patterns.caster, mean: 1, sd: 0.5, share: 0.1 },
    ),
} as const satisfies CornerCause;
