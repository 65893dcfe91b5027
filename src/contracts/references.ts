import { z } from 'zod';
import { choice, moment, name, number, optional, text, whole } from './columns.js';
import { table } from './table.js';

export const references = table({
    kind: 'references',
    title: 'Readings of a known reference',
    grain: 'one row per reading that a gauge took of an angle that is known otherwise',
    key: ['gauge', 'angle', 'measured_at', 'reference', 'repeat'],
    schema: z.object({
        gauge: name('measuring equipment, as the readings name it'),
        angle: choice('what was read', ['camber', 'caster', 'toe', 'sai']),
        measured_at: moment('when; no zone given = local wall time, kept as written'),
        reference: optional(
            name(
                'block, bar or master that was read; rows of one name, or of none, share the error of its value',
            ),
        ),
        reference_deg: number('its value, from a certificate or a better instrument', 'deg', [-30, 30]),
        reference_uncertainty_deg: number(
            'standard uncertainty of that value; half of an expanded one with k = 2',
            'deg',
            [0, 2],
        ),
        reading_deg: number('what the gauge read of it', 'deg', [-30, 30]),
        repeat: optional(whole('the n-th reading of the same reference at that time', [1, 1000]), 1),
        technician: optional(name('who measured')),
        note: optional(text('free text')),
    }),
});
