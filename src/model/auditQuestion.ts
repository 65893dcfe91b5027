import { groupings } from '../contracts/results/audit.js';
import { UsageError } from '../errors/errors.js';
import { tooManyGroupings, unknownGrouping } from '../errors/messages.js';

type Grouping = (typeof groupings)[number];

/** How settings are judged and put together. */
export interface AuditQuestion {
    /** None, one or two. */
    by: readonly Grouping[];
    /** Guard band in standard uncertainties of the reading. */
    guard: number;
    /** Days within which a car that is set again counts as come back. */
    comeBackDays: number;
    /** Technicians get numbers for names. */
    anonymous: boolean;
}

/** ISO 14253-1:2017: the guard band that a one-sided probability of 95 % asks for. */
export const defaultQuestion: AuditQuestion = { by: [], guard: 1.65, comeBackDays: 30, anonymous: false };

/** The names of `--by`: one, or two different ones joined by a comma. Throws a {@link UsageError} on anything else. */
export function parseGroupings(text: string): Grouping[] {
    const names = text.split(',').map((name) => name.trim());
    const found = names.map((name) => {
        const known = groupings.find((one) => one === name);
        if (known === undefined) throw new UsageError(unknownGrouping(name, groupings));
        return known;
    });
    if (found.length > 2 || new Set(found).size < found.length)
        throw new UsageError(tooManyGroupings(found.length));
    return found;
}
