import { z } from 'zod';
import { limitsCrossed } from '../errors/ruleMessages.js';
import { choice, name, number, optional, text } from './columns.js';
import { atMost } from './rowRule.js';
import { table } from './table.js';

export const rules = table({
    kind: 'rules',
    title: 'Limits of classes',
    grain: 'one row per class and angle, or per class, chassis and angle where chassis is given',
    key: ['class', 'chassis', 'angle'],
    atLeastOneOf: [['low_deg', 'high_deg']],
    rules: [atMost('low_deg', 'high_deg', limitsCrossed())],
    schema: z.object({
        class: name('class, championship or inspection'),
        chassis: optional(name('platform code; blank = any')),
        angle: choice('what is limited, on each front wheel', ['camber', 'caster']),
        low_deg: optional(number('least value that it allows', 'deg', [-12, 20])),
        high_deg: optional(number('largest value that it allows', 'deg', [-12, 20])),
        gauge_uncertainty_deg: optional(
            number(
                "standard uncertainty of one reading by the inspector's gauge; blank = that of a gauge that nobody knows",
                'deg',
                [0, 2],
            ),
        ),
        measured: optional(
            text('how it is measured: with which gauge, driver aboard or not, at which height'),
        ),
        note: optional(text('free text')),
    }),
});
