import { programName } from './programName.js';

/** Sentences of `check`. */

import { counted } from './words.js';

export const unknownCheck = (name: string, known: readonly string[]) =>
    `There is no check "${name}". Name one of: ${known.join(', ')}.`;

export interface CheckCounts {
    mistakes: number;
    /** Rows that may be right and are worth knowing. */
    remarks: number;
    explained: number;
    chance: number;
}

/** A check that failed, beside the findings of the others. */
export const checkFailed = (check: string, reason: string) =>
    `The check ${check} failed: this is a bug of Strutmark, not of your data. The other checks are complete. Run ${programName()} check --only ${check} --debug and report what it prints: ${reason.split('\n')[0]}`;

export const findingUnreadable = (field: string, problem: string) =>
    `a finding without a proper ${field}: ${problem}`;

/** What was found, what is left out of the usual list, and whether `failedCount` checks told nothing. */
export function checkSummary(
    { mistakes, remarks, explained, chance }: CheckCounts,
    failedCount = 0,
): string[] {
    const notes: string[] = [];
    if (mistakes > 0) {
        notes.push(
            `${counted(mistakes, 'row looks', 'rows look')} like a mistake. Look at the sheet and at the car before you change one: the numbers are estimates from readings.`,
        );
    } else if (failedCount === 0) notes.push('Nothing looks like a mistake.');
    else notes.push('Nothing else looks like a mistake.');
    if (remarks > 0) notes.push(`${counted(remarks, 'row')} may be right and should be known.`);
    if (explained > 0) {
        notes.push(
            `${counted(explained, 'more row is', 'more rows are')} likely the consequence of one of these.`,
        );
    }
    if (chance > 0) {
        notes.push(
            `${counted(chance, 'row stands', 'rows stand')} out no more than chance lets some rows stand out.`,
        );
    }
    return notes;
}

export const moreFindings = (count: number, check: string) =>
    `and ${count} more: ${programName()} check --only ${check} --all`;

export const showAllFindings = () =>
    '--all lists every row, --only NAME one check, --json holds them as data.';
