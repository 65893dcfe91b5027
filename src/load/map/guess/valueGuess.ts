import { dayExists } from '../../../contracts/columns.js';
import { asciiSigns } from '../../../units/asciiSigns.js';
import { type DecimalMark, decimalNumber } from '../../../units/decimalNumber.js';
import { degMinToDeg } from '../../../units/degMinToDeg.js';
import { type DateOrder, isoMoment } from '../../../units/isoMoment.js';

import { ASK } from '../ask.js';

/** What the map should say, and the comment beside it; `ASK` where only the user knows. */
export interface Answer {
    value: string;
    comment: string | null;
}

/** An answer that only the user knows. */
export const ask = (comment: string): Answer => ({ value: ASK, comment });

/** Texts that people write for nothing measured. */
export function looksBlank(text: string): boolean {
    return /^([-–—.*?/_]+|n\.? ?\/? ?[avbd]\.?|k\.? ?a\.?|entf\.?|na|nan|null|none)$/i.test(text);
}

/** The decimal mark that the numbers of a file are written with; null where none has decimals. */
export function decimalMark(cells: readonly string[]): DecimalMark | null {
    const count = (pattern: RegExp) => cells.filter((cell) => pattern.test(asciiSigns(cell))).length;
    const commas = count(/^[+-]?\d*,\d+( ?\D{0,4})$/);
    const points = count(/^[+-]?\d*\.\d+( ?\D{0,4})$/);
    if (commas + points === 0) return null;
    return commas > points ? ',' : '.';
}

const hasMinuteMarks = /^[+-]?\d+ ?(°|d|deg|:| ) ?\d+|^[+-]?\d+ ?'/i;

/** Whether the decimals of angles may be minutes: two digits below 60 throughout. */
export function mayBeMinutes(texts: readonly string[]): boolean {
    const decimals = texts.flatMap((text) => /^[+-]?\d+[.,](\d+)( ?°)?$/.exec(asciiSigns(text))?.[1] ?? []);
    return decimals.length > 0 && decimals.every((digits) => digits.length === 2 && Number(digits) < 60);
}

const minutesQuestion = (example: string) =>
    `${example}: deg if the decimals are hundredths of a degree, deg-min-dotted if they are minutes`;

/**
 * Unit of camber, caster, SAI or toe, from the column name and the cells. `maybeMinutes`: no angle of the file has decimals
 * that cannot be minutes.
 */
export function angleUnit(
    texts: readonly string[],
    named: string | null,
    mark: DecimalMark,
    isToe: boolean,
    maybeMinutes: boolean,
): Answer {
    const plain = texts.map(asciiSigns);
    const marked = plain.find((text) => hasMinuteMarks.test(text));
    if (
        marked !== undefined &&
        plain.filter((text) => degMinToDeg(text, mark) !== null).length > plain.length / 2
    ) {
        return { value: 'deg-min', comment: `such as ${marked}` };
    }
    if (named !== null && ['mm', 'inch', 'arcmin', 'rad'].includes(named))
        return { value: named, comment: 'from the column name' };
    const fraction = plain.find((text) => /\d\/\d/.test(text));
    if (isToe && fraction !== undefined) return { value: 'inch', comment: `such as ${fraction}` };
    const example = plain.find((text) => /[.,]/.test(text)) ?? plain[0] ?? '';
    if (maybeMinutes && mayBeMinutes(plain)) {
        const lengths = isToe && named === null ? '; mm or inch with diameter_mm, arcmin' : '';
        return ask(minutesQuestion(example) + lengths);
    }
    if (isToe && named === null) return ask(`${example}: deg, arcmin, or mm or inch with diameter_mm`);
    const numbers = plain.map((text) => decimalNumber(text.replace(/ ?°$/, ''), mark) ?? 0);
    if (numbers.some((value) => Math.abs(value) > 30)) {
        return ask(`${example} is large for degrees: arcmin, deg`);
    }
    if (
        plain.length > 0 &&
        plain.every((text) => !/[.,]/.test(text)) &&
        numbers.some((value) => value !== 0)
    ) {
        return ask(`whole numbers such as ${example}: deg or arcmin`);
    }
    return {
        value: 'deg',
        comment: named === 'deg' ? 'from the column name' : 'decimals that are no minutes',
    };
}

/** `true` where signs are the other way round: answered where the cells leave no doubt. */
export function camberSign(values: readonly number[]): Answer {
    if (values.some((value) => value < 0)) return { value: 'false', comment: 'negative ones are there' };
    if (values.every((value) => value === 0)) return { value: 'false', comment: null };
    return ask('no camber is negative: true if positive means top inboard here, false if top outboard');
}

/** Caster and SAI are positive on nearly every road car (common practice, no source). */
export function usuallyPositive(values: readonly number[]): Answer {
    const negative = values.filter((value) => value < 0).length;
    if (negative <= values.length / 2) return { value: 'false', comment: null };
    return ask('most are negative: true if the sign is the other way round here');
}

export const toeSign = (): Answer => ask('false if positive means toe-in here, true if it means toe-out');

const orders: DateOrder[] = ['day-first', 'month-first', 'year-first'];

function existing(texts: readonly string[], order: DateOrder): number {
    const isos = texts.map((text) => isoMoment(text, order, null));
    return isos.filter((iso) => iso !== null && dayExists(iso)).length;
}

/** The order of the dates: answered where one gives more days that exist than the others, or points stand between the numbers. */
export function dateOrder(texts: readonly string[]): Answer {
    const isIso = (text: string) => /^\d{4}-\d\d-\d\d/.test(text) && dayExists(text);
    if (texts.length > 0 && texts.every(isIso)) return { value: 'iso', comment: null };
    const example = texts[0] ?? '';
    const counts = orders.map((order) => existing(texts, order));
    const most = Math.max(...counts);
    const fitting = orders.filter((_, i) => counts[i] === most);
    if (most > 0 && fitting.length === 1) {
        return { value: fitting[0]!, comment: `${example}: the other orders give days that do not exist` };
    }
    if (most > 0 && texts.every((text) => /^\d{1,2}\.\s?\d{1,2}\./.test(text))) {
        return {
            value: 'day-first',
            comment: `${example}: with points the day comes first wherever they are used`,
        };
    }
    return ask(`${example}: day-first, month-first, year-first or iso`);
}
