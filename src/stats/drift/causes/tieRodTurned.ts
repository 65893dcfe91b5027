import * as patterns from '../patterns.js';
import { type CornerCause, oneSize } from './cause.js';

export const tieRodTurned = {
    name: 'tie_rod_turned',
    level: 'corner',
    class: 'other',
    share: 0.01,
    words: 'tie rod turned or bent',
    ofMeasuring: false,
    stop: true,
    undone: 0.5,
    sizes: oneSize(
        { pattern: patterns.toe, mean: 0.12, sd: 0.06, share: 0.4 },
        { pattern: patterns.toe, mean: 0.3, sd: 0.12, share: 0.35 },
        { pattern: patterns.toe, mean: 0.8, sd: 0.4, share: 0.25 },
    ),
} as const satisfies CornerCause;
