import { z } from 'zod';
import { crossOfNothing, toleranceOfNothing } from '../errors/ruleMessages.js';
import { name, number, optional } from './columns.js';
import { together } from './rowRule.js';
import { table } from './table.js';

const tolerance = (what: string, max: number) => optional(number(`${what}, plus or minus`, 'deg', [0, max]));

const cross = (angle: string, max: number) =>
    optional(
        number(
            `wanted left minus right ${angle}: left is to have half of it more, right half of it less; blank = both sides alike`,
            'deg',
            [-max, max],
        ),
    );

export const targets = table({
    kind: 'targets',
    title: 'Targets with tolerances',
    grain: 'one row per target, or per target and chassis where chassis is given',
    key: ['target', 'chassis'],
    rules: [
        ...['camber', 'caster', 'toe'].map((angle) =>
            together(
                `${angle}_tol_deg`,
                `${angle}_deg`,
                toleranceOfNothing(`${angle}_tol_deg`, `${angle}_deg`),
            ),
        ),
        ...['camber', 'caster'].map((angle) =>
            together(
                `cross_${angle}_deg`,
                `${angle}_deg`,
                crossOfNothing(`cross_${angle}_deg`, `${angle}_deg`),
            ),
        ),
    ],
    schema: z.object({
        target: name('target id as the readings name it'),
        chassis: optional(name('platform code; blank = any')),
        camber_deg: optional(number('wanted camber', 'deg', [-12, 12])),
        camber_tol_deg: tolerance('camber tolerance', 12),
        caster_deg: optional(number('wanted caster', 'deg', [-6, 20])),
        caster_tol_deg: tolerance('caster tolerance', 20),
        toe_deg: optional(number('wanted toe per wheel', 'deg', [-6, 6])),
        toe_tol_deg: tolerance('toe tolerance per wheel', 6),
        cross_camber_max_deg: optional(
            number('largest left minus right camber less cross_camber_deg, absolute', 'deg', [0, 12]),
        ),
        cross_caster_max_deg: optional(
            number('largest left minus right caster less cross_caster_deg, absolute', 'deg', [0, 20]),
        ),
        cross_camber_deg: cross('camber', 6),
        cross_caster_deg: cross('caster', 6),
    }),
});
