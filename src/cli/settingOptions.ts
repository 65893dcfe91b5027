import { Option } from 'commander';
import { UsageError } from '../errors/errors.js';
import { targetCount, unreadableNumber } from '../errors/messages.js';
import { programName } from '../errors/programName.js';
import { shortCaution } from '../report/cautions.js';

/** An option that takes a number from `low` to `high`; anything else is a UsageError. */
export function numberOption(
    flags: string,
    text: string,
    [low, high]: [number, number],
    whole = false,
): Option {
    return new Option(flags, text).argParser((value) => {
        const number = Number(value);
        const usable =
            value.trim() !== '' && number >= low && number <= high && (!whole || Number.isInteger(number));
        if (usable) return number;
        const range = `${whole ? 'a whole number' : 'a number'} from ${low} to ${high}`;
        throw new UsageError(unreadableNumber(flags.split(' ')[0]!, value, range));
    });
}

/** Of what takes the files of a folder. */
export const settleOption = (): Option =>
    numberOption(
        '--settle <seconds>',
        'how long size and time of a file must stand still before it is taken',
        [0, 3600],
    ).default(2);

/** An option that may be given several times. */
export function repeatedOption(flags: string, text: string): Option {
    return new Option(flags, text)
        .default([], 'none')
        .argParser((value: string, before: string[]) => [...before, value]);
}

/** The one or two different targets of a question about settings; a UsageError otherwise. */
export function oneOrTwoTargets(command: string, targets: readonly string[]): readonly string[] {
    const fits = targets.length >= 1 && targets.length <= 2 && new Set(targets).size === targets.length;
    if (!fits) throw new UsageError(targetCount(command));
    return targets;
}

/** What an answer about settings says last: one line, and where the full text stands. */
export function cautionNote(): string {
    return `${shortCaution} Read them once before work: ${programName()} cautions`;
}
