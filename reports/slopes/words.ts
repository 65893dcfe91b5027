import type { PanelKey } from './rows.js';

/** Words for responses and axes. */
export const angle = { camber_deg: 'camber', caster_deg: 'caster', toe_deg: 'toe', sai_deg: 'SAI' } as const;
export const direction = { out: 'outboard', aft: 'rearward' } as const;

/** `camber per millimetre outboard` */
export function slopeName({ response, axis }: PanelKey): string {
    return `${angle[response]} per millimetre ${direction[axis]}`;
}
