import * as patterns from '../patterns.js';
import type { CornerCause } from './cause.js';

export const plateSlipped = {
    name: 'plate_slipped',
    level: 'corner',
    class: 'plate_moved',
    share: 0.1,
    words: 'the bearing slipped in its plate',
    meaning: 'bearing in its plate',
    ofMeasuring: false,
    stop: false,
    undone: 0.98,
    isSlip: true,
    sizes: [
        { share: 0.2, ways: [{ pattern: patterns.slip, mean: 1.2, sd: 0.4, share: 1 }] },
        { share: 0.25, ways: [{ pattern: patterns.slip, mean: 2.0, sd: 0.5, share: 1 }] },
        { share: 0.2, ways: [{ pattern: patterns.slip, mean: 3.0, sd: 0.6, share: 1 }] },
        { share: 0.15, ways: [{ pattern: patterns.slip, mean: 4.2, sd: 0.7, share: 1 }] },
        { share: 0.12, ways: [{ pattern: patterns.slip, mean: 6.0, sd: 1.1, share: 1 }] },
        { share: 0.08, ways: [{ pattern: patterns.slip, mean: 9.0, sd: 2.0, share: 1 }] },
    ],
} as const satisfies CornerCause;
