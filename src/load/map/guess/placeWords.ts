import type { HeaderWords } from './headerWords.js';

/** Of those below, what tells where the bearing stands. */
export const ofThePlate = new Set([
    'kit',
    'plate_hand',
    'plate_index',
    'mark_1',
    'mark_2',
    'offset_out_mm',
    'offset_aft_mm',
]);

/** Our columns that a file may hold once for each corner or phase. */
export const perCorner = new Set([
    ...ofThePlate,
    'camber_deg',
    'caster_deg',
    'toe_deg',
    'sai_deg',
    'ride_height_mm',
    'tyre_kpa',
]);

/** Where a column holds the corner or the phase, and where no side is told, those words in other names tell nothing. */
export function withTellingSpans(columns: readonly HeaderWords[]): HeaderWords[] {
    const isPlain = (role: string) => columns.some((one) => one.role === role && one.spans.length === 0);
    const tellsSide =
        (isPlain('side') && !isPlain('axle')) ||
        columns.some(({ spans }) => spans.some(({ part }) => part === 'corner' || part === 'side'));
    const hasPlaces = tellsSide && !isPlain('corner') && !(isPlain('axle') && isPlain('side'));
    const hasPhases = !isPlain('phase');
    return columns.map((column) => ({
        ...column,
        spans: column.spans.filter(({ part }) => {
            if (column.role === null || !perCorner.has(column.role)) return false;
            return part === 'phase' ? hasPhases : hasPlaces;
        }),
    }));
}
