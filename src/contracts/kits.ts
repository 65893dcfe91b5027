import { z } from 'zod';
import { choice, name, number, optional, text, whole } from './columns.js';
import { kitRules } from './kitRules.js';
import { table } from './table.js';

export const kits = table({
    kind: 'kits',
    title: 'Kits of adjustable plates',
    grain: 'one row per kit, or per kit and chassis where chassis is given',
    key: ['kit', 'chassis'],
    rules: kitRules,
    schema: z.object({
        kit: name('kit id as the readings name it'),
        chassis: optional(name('platform code; blank = any')),
        index_count: optional(whole('number of bolt positions', [1, 12]), 3),
        index_step_deg: optional(number('angle between bolt positions', 'deg', [-360, 360]), 120),
        axis_deg: optional(
            number(
                'direction of the first scale at index 1, from outboard towards rearward',
                'deg',
                [-360, 360],
            ),
            0,
        ),
        mark_pitch_mm: number('travel of one mark', 'mm', [0.01, 50]),
        mark_min: optional(number('lowest mark of the first scale', 'marks', [-60, 60])),
        mark_max: optional(number('highest mark of the first scale', 'marks', [-60, 60])),
        mark2_min: optional(
            number('lowest mark of the second scale; blank or 0/0 = one scale only', 'marks', [-60, 60]),
        ),
        mark2_max: optional(
            number('highest mark of the second scale; blank or 0/0 = one scale only', 'marks', [-60, 60]),
        ),
        centre_out_mm: optional(number('bearing at marks 0, outboard, at index 1', 'mm', [-40, 40]), 0),
        centre_aft_mm: optional(number('bearing at marks 0, rearward, at index 1', 'mm', [-40, 40]), 0),
        bearing: optional(
            choice('kind of bearing', [
                'original_rubber',
                'isolated_ball',
                'isolated_spherical',
                'solid_spherical',
            ]),
        ),
        mark_resolution: optional(
            number('smallest part of a mark that the pointer is read to', 'marks', [0.01, 5]),
            0.5,
        ),
        note: optional(text('free text')),
    }),
});
