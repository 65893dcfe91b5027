import { noSettingBefore, noSettingOfVisit } from '../errors/askMessages.js';
import { UserError } from '../errors/errors.js';
import type { LeftRow } from './history.js';

/**
 * The setting of `to`, a visit that left one, or a day (ISO 8601): the newest left on that day or before. `lefts` newest first. A
 * {@link UserError} that names the visits there are when there is none.
 */
export function leftAt(lefts: readonly LeftRow[], vehicle: string, to: string): LeftRow[] {
    const visits = [...new Set(lefts.map(({ visit }) => visit))];
    const of = (visit: string) => lefts.filter((left) => left.visit === visit);
    if (visits.includes(to)) return of(to);
    if (!/^\d{4}-\d{2}-\d{2}$/.test(to))
        throw new UserError(noSettingOfVisit(to, vehicle, visits), 'not_in_data');
    const newest = lefts.find(({ left_on }) => left_on !== null && left_on <= to);
    if (newest === undefined) {
        throw new UserError(
            noSettingBefore(to, vehicle, lefts.at(-1)!.visit, lefts.at(-1)!.left_on),
            'not_in_data',
        );
    }
    return of(newest.visit);
}
