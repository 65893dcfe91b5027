import { z } from 'zod';
import { choice, moment, name, optional, text } from './columns.js';
import { table } from './table.js';

/** What may be changed on a car, so that settings before it say nothing of those after it. */
export const changedParts = [
    'spring',
    'damper',
    'arm',
    'subframe',
    'impact',
    'tyre',
    'wheel',
    'height',
] as const;

export const changes = table({
    kind: 'changes',
    title: 'Changes of a car: a setting before one is not compared with a setting after it',
    grain: 'one row per change of a car, or of one corner of it',
    key: ['vehicle', 'changed_at', 'corner', 'what'],
    schema: z.object({
        vehicle: name('car that was changed, as the readings name it'),
        changed_at: moment('when; no zone given = local wall time, kept as written'),
        corner: optional(choice('corner that it is of; blank = the whole car', ['FL', 'FR', 'RL', 'RR'])),
        what: choice(
            'what was changed; impact = the car was hit; height = springs or perches set',
            changedParts,
        ),
        note: optional(text('free text, such as from what to what')),
    }),
});
