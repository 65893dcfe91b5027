import { programName } from './programName.js';

/** Sentences about questions of dry stacks that cannot be answered as asked. */

export function nothingToStack(table: 'shafts' | 'hardware'): string {
    const holds = table === 'shafts' ? 'no shafts' : 'no parts that go on a shaft';
    return `The database holds ${holds} yet. Load a ${table} file: ${programName()} load ${table}.csv (its columns are in shared/templates/${table}.csv).`;
}

export const unreadableRule = (text: string, known: readonly string[]) =>
    `--set ${text} cannot be read. Write NAME=VALUE with a number from 0 to 100 and a decimal point, such as --set min_clearance_mm=6. Names: ${known.join(', ')}.`;

export const unknownRule = (name: string, known: readonly string[]) =>
    `--set knows no "${name}". Names: ${known.join(', ')}.`;

export const notACount = (name: string) =>
    `--set ${name} takes a whole number from 1 on: how many equal stacks one box has to make.`;

export const wishReversed = () =>
    'wish_margin_low_mm is larger than wish_margin_high_mm. Give --set wish_margin_low_mm=LOW and --set wish_margin_high_mm=HIGH so that LOW is the smaller one.';
