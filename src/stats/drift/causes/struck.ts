import * as patterns from '../patterns.js';
import { type CornerCause, oneSize } from './cause.js';

export const struck = {
    name: 'struck',
    level: 'corner',
    class: 'bent',
    share: 0.003,
    words: 'two parts moved or bent at once, as from a strike',
    meaning: 'two causes at once at one corner: strut, knuckle or bearing, and the tie rod',
    ofMeasuring: false,
    stop: true,
    undone: 0.1,
    sizes: oneSize(
        { pattern: patterns.bendAndRod, mean: 0.6, sd: 0.25, share: 0.4 },
        { pattern: patterns.bendAndRod, mean: 1.2, sd: 0.5, share: 0.2 },
        { pattern: patterns.slipAndRod, mean: 3, sd: 1.2, share: 0.4 },
    ),
} as const satisfies CornerCause;
