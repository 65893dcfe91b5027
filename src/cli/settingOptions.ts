import { Option } from 'commander';
import { isWithin, type Limits, limits, outOfLimits } from '../library/limits.js';

/** An option that takes a number `within` its limits; anything else is a UsageError. */
export function numberOption(flags: string, text: string, within: Limits): Option {
    return new Option(flags, text).argParser((value) => {
        const number = Number(value);
        if (value.trim() !== '' && isWithin(number, within)) return number;
        throw outOfLimits(flags.split(' ')[0]!, value, within);
    });
}

/** Of what takes the files of a folder. */
export const settleOption = (): Option =>
    numberOption(
        '--settle <seconds>',
        'how long size and time of a file must stand still before it is taken',
        { low: 0, high: 3600 },
    ).default(2);

/** An option that may be given several times. */
export function repeatedOption(flags: string, text: string): Option {
    return new Option(flags, text)
        .default([], 'none')
        .argParser((value: string, before: string[]) => [...before, value]);
}

export const targetOption = (): Option =>
    repeatedOption('--target <name>', 'target to meet; give it twice for two, such as street and track');

export const stepOption = (): Option =>
    numberOption('--step <marks>', 'steps in which the pointers can be set', limits.step).default(0.5);
