import { z } from 'zod';
import { flatNut, toleranceTooWide } from '../errors/ruleMessages.js';
import { choice, name, number, optional, text, whole } from './columns.js';
import { atMost } from './rowRule.js';
import { table } from './table.js';

export const hardware = table({
    kind: 'hardware',
    title: 'Parts that go on a strut shaft',
    grain: 'one row per kit and part',
    key: ['kit', 'part'],
    rules: [
        atMost('height_tol_mm', 'height_mm', toleranceTooWide('height_tol_mm', 'height_mm')),
        {
            columns: ['height_mm', 'role'],
            rule: 'the height_mm of a nut is above 0',
            sql: "({role} <> 'nut' or {height_mm} > 0)",
            reason: flatNut(),
        },
    ],
    schema: z.object({
        kit: name('kit id'),
        part: name('part id'),
        role: choice('place in the stack', [
            'bush',
            'spring_plate',
            'spacer',
            'lower_adapter',
            'bearing',
            'upper_adapter',
            'dust_washer',
            'nut',
        ]),
        fits_diameter_mm: optional(number('shaft diameter that the bore takes', 'mm', [1, 200])),
        height_mm: number('length it adds between seat and nut face; nut: its own height', 'mm', [0, 500]),
        height_tol_mm: optional(number('half width of the tolerance of height_mm', 'mm', [0, 20]), 0.1),
        drop_mm: optional(
            number(
                "bearing: how far the mount hangs below the bearing's lower face under load",
                'mm',
                [-200, 200],
            ),
        ),
        count: optional(whole('how many are in the box', [0, 1000]), 1),
        required: optional(choice('must be used', ['yes', 'no']), 'no'),
        note: optional(text('free text')),
    }),
});
