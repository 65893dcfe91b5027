import { programName } from './programName.js';

/** Sentences of `check`. */

const counted = (count: number, one: string, many: string) => `${count} ${count === 1 ? one : many}`;

export function unknownCheck(name: string, known: readonly string[]): string {
    return `There is no check "${name}". Name one of: ${known.join(', ')}.`;
}

export interface CheckCounts {
    mistakes: number;
    /** Rows that may be right and are worth knowing. */
    remarks: number;
    explained: number;
    chance: number;
}

/** What was found, and what is left out of the usual list. */
export function checkSummary({ mistakes, remarks, explained, chance }: CheckCounts): string[] {
    const notes: string[] = [];
    if (mistakes > 0) {
        notes.push(
            `${counted(mistakes, 'row looks', 'rows look')} like a mistake. Look at the sheet and at the car before you change one: the numbers are estimates from readings.`,
        );
    } else notes.push('Nothing looks like a mistake.');
    if (remarks > 0) notes.push(`${counted(remarks, 'row', 'rows')} may be right and should be known.`);
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

export function moreFindings(count: number, check: string): string {
    return `and ${count} more: ${programName()} check --only ${check} --all`;
}

export function showAllFindings(): string {
    return '--all lists every row, --only NAME one check, --json holds them as data.';
}
