import { z } from 'zod';

/** What a column of an input table holds besides its type: shown in `shared/`, messages and `--help`. */
export interface ColumnMeta {
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

/** Text as written, white space at both ends removed; at most 2,000 characters. */
export function text(description: string) {
    return described(z.string().min(1).max(2000), { description });
}

/** Finite decimal number with an inclusive range, unit last in the column name. */
export function number(description: string, unit: string, [min, max]: [number, number]) {
    return described(z.number().min(min).max(max), { description, unit });
}

/** Whole number with an inclusive range. */
export function whole(description: string, [min, max]: [number, number]) {
    return described(z.int().min(min).max(max), { description });
}

/** One of a closed list of words. */
export function choice<const W extends readonly [string, ...string[]]>(description: string, words: W) {
    return described(z.enum(words), { description });
}

/** ISO 8601 date or date and time, with or without a zone; kept as written. */
export function moment(description: string) {
    return described(
        z
            .string()
            .regex(/^\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}(:\d{2}([.,]\d+)?)?( ?(Z|[+-]\d{2}(:?\d{2})?))?)?$/),
        { description },
    );
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
