import { z } from 'zod';
import { unseenCharacters } from '../units/visibleText.js';

/** Longest text that a cell may hold, in characters. */
const MAX_TEXT_LENGTH = 2000;

// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what text must not hold
const controlCharacter = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/;

const isPlainText = (value: string) => !controlCharacter.test(value) && [...value].length <= MAX_TEXT_LENGTH;

/** Text as written, white space at both ends removed; at most 2,000 characters, no control characters but tab and line end. */
export function text(description: string) {
    return z.string().min(1).refine(isPlainText).meta({ maxLength: MAX_TEXT_LENGTH, description });
}

/** Longest name, in characters. */
const MAX_NAME_LENGTH = 200;

/** A character class of ECMAScript as RE2 writes it, which is what DuckDB has. */
export const re2Class = (pattern: string) => pattern.replace(/\\u([0-9a-f]{4})/g, '\\x{$1}');

const nameForm = new RegExp(`^[^${unseenCharacters}]+$`, 'u');

/** What a car, a chassis, a kit, a person is called: one line of at most 200 characters that can be seen. */
export function name(description: string) {
    return z
        .string()
        .regex(nameForm)
        .refine((value) => [...value].length <= MAX_NAME_LENGTH)
        .meta({ maxLength: MAX_NAME_LENGTH, description });
}

/** 128 bits as 32 lower-case hexadecimal digits. */
export function pseudonym(description: string) {
    return z
        .string()
        .length(32)
        .regex(/^[0-9a-f]{32}$/)
        .describe(description);
}

/** Finite decimal number with an inclusive range, unit last in the column name. */
export function number(description: string, unit: string, [min, max]: [number, number]) {
    return z.number().min(min).max(max).meta({ description, unit });
}

/** Finite decimal number without a unit, with an inclusive range. */
export function ratio(description: string, [min, max]: [number, number]) {
    return z.number().min(min).max(max).describe(description);
}

/** Whole number with an inclusive range. */
export function whole(description: string, [min, max]: [number, number]) {
    return z.int().min(min).max(max).describe(description);
}

/** One of a closed list of words. */
export function choice<const W extends readonly [string, ...string[]]>(description: string, words: W) {
    return z.enum(words).describe(description);
}

const momentPattern =
    /^\d{4}-\d{2}-\d{2}([T ]([01]\d|2[0-3]):[0-5]\d(:[0-5]\d([.,]\d+)?)?( ?(Z|[+-](0\d|1[0-4])(:?[0-5]\d)?))?)?$/;

/** Whether the day with which an ISO 8601 text begins exists. */
export function dayExists(value: string): boolean {
    const [year, month, day] = value.slice(0, 10).split('-').map(Number);
    const date = new Date(0);
    date.setUTCFullYear(year!, month! - 1, day!);
    return date.getUTCMonth() === month! - 1 && date.getUTCDate() === day;
}

/** ISO 8601 date or date and time, with or without a zone, of a day that exists; kept as written. */
export function moment(description: string) {
    return z.string().regex(momentPattern).refine(dayExists).describe(description);
}

/** The same column where blank is allowed: blank = not measured, stored as null, or what it means, stated and never guessed. */
export function optional<T extends z.ZodType>(schema: T, blankMeans?: string | number) {
    return blankMeans === undefined ? schema.nullable() : schema.nullable().meta({ blankMeans });
}
