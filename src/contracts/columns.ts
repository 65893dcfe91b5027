import { z } from 'zod';
import { unseenCharacters } from '../units/visibleText.js';

/** What a column of an input table holds besides its type: shown in `shared/`, messages and `--help`. */
interface ColumnMeta {
    description: string;
    unit?: string;
    /** Value used when the cell is blank; stated in the contract, never guessed. */
    blankMeans?: string | number;
}

const columnMeta = z.registry<ColumnMeta>();

function described<T extends z.ZodType>(schema: T, meta: ColumnMeta): T {
    columnMeta.add(schema, meta);
    return schema;
}

/** Longest text that a cell may hold, in characters. */
const MAX_TEXT_LENGTH = 2000;

// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what text must not hold
const controlCharacter = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/;

const isPlainText = (value: string) => !controlCharacter.test(value) && [...value].length <= MAX_TEXT_LENGTH;

/** Text as written, white space at both ends removed; at most 2,000 characters, no control characters but tab and line end. */
export function text(description: string) {
    const schema = z.string().min(1).refine(isPlainText).meta({ maxLength: MAX_TEXT_LENGTH });
    return described(schema, { description });
}

/** Longest name, in characters. */
const MAX_NAME_LENGTH = 200;

/** A character class of ECMAScript as RE2 writes it, which is what DuckDB has. */
export const re2Class = (pattern: string) => pattern.replace(/\\u([0-9a-f]{4})/g, '\\x{$1}');

const nameForm = new RegExp(`^[^${unseenCharacters}]+$`, 'u');

/** What a car, a chassis, a kit, a person is called: one line of at most 200 characters that can be seen. */
export function name(description: string) {
    const schema = z
        .string()
        .regex(nameForm)
        .refine((value) => [...value].length <= MAX_NAME_LENGTH)
        .meta({ maxLength: MAX_NAME_LENGTH });
    return described(schema, { description });
}

/** 128 bits as 32 lower-case hexadecimal digits. */
export function pseudonym(description: string) {
    return described(
        z
            .string()
            .length(32)
            .regex(/^[0-9a-f]{32}$/),
        { description },
    );
}

/** Finite decimal number with an inclusive range, unit last in the column name. */
export function number(description: string, unit: string, [min, max]: [number, number]) {
    return described(z.number().min(min).max(max), { description, unit });
}

/** Finite decimal number without a unit, with an inclusive range. */
export function ratio(description: string, [min, max]: [number, number]) {
    return described(z.number().min(min).max(max), { description });
}

/** Whole number with an inclusive range. */
export function whole(description: string, [min, max]: [number, number]) {
    return described(z.int().min(min).max(max), { description });
}

/** One of a closed list of words. */
export function choice<const W extends readonly [string, ...string[]]>(description: string, words: W) {
    return described(z.enum(words), { description });
}

const momentPattern =
    /^\d{4}-\d{2}-\d{2}([T ]([01]\d|2[0-3]):[0-5]\d(:[0-5]\d([.,]\d+)?)?( ?(Z|[+-](0\d|1[0-4])(:?[0-5]\d)?))?)?$/;

function dayExists(value: string): boolean {
    const [year, month, day] = value.slice(0, 10).split('-').map(Number);
    const date = new Date(0);
    date.setUTCFullYear(year!, month! - 1, day!);
    return date.getUTCMonth() === month! - 1 && date.getUTCDate() === day;
}

/** ISO 8601 date or date and time, with or without a zone, of a day that exists; kept as written. */
export function moment(description: string) {
    return described(z.string().regex(momentPattern).refine(dayExists), { description });
}

/** The same column where blank is allowed: blank = not measured, stored as null. */
export function optional<T extends z.ZodType>(schema: T, blankMeans?: string | number) {
    const meta = metaOf(schema);
    return described(schema.nullable(), blankMeans === undefined ? meta : { ...meta, blankMeans });
}

/** Description and unit of a column made by this file. Throws on any other schema. */
export function metaOf(schema: z.ZodType): ColumnMeta {
    const meta = columnMeta.get(schema);
    if (meta === undefined) throw new TypeError('column schema without description');
    return meta;
}
