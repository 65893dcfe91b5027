import type { Group } from './rows.js';

/** Words for responses. */
export const angle = {
    all: 'whole visit',
    camber_deg: 'camber',
    caster_deg: 'caster',
    toe_deg: 'toe',
    cross_camber_deg: 'cross camber',
    cross_caster_deg: 'cross caster',
} as const satisfies Record<Group['response'], string>;
