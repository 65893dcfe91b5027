import { fixed } from '../../src/report/format.js';
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

export function capital(text: string): string {
    return text.charAt(0).toUpperCase() + text.slice(1);
}

export function percent(share: number | null): string {
    return share === null ? '–' : `${fixed(100 * share, 0)} %`;
}

/** A share in per cent, for a column. */
export function hundred(share: number | null): number | null {
    return share === null ? null : 100 * share;
}
