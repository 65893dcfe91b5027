import { z } from 'zod';
import { tables } from './tables.js';

const theirs = (description: string) =>
    z.union([z.string(), z.number()]).transform(String).describe(description);

const pattern = (description: string) => z.string().meta({ description, format: 'regex' });

/** Encodings that a map may name; a byte order mark in the file wins over it. */
export const encodings = [
    'utf-8',
    'utf-16le',
    'utf-16be',
    'windows-1252',
    'iso-8859-15',
    'windows-1250',
] as const;

/** Units that a map may name, by the unit of our column. `mm` and `inch` on an angle are for toe only. */
export const unitsOf: Record<string, readonly string[]> = {
    deg: ['deg', 'deg-min', 'deg-min-dotted', 'arcmin', 'rad', 'mm', 'inch'],
    mm: ['mm', 'cm', 'inch'],
    marks: ['marks'],
    kPa: ['kPa', 'bar', 'psi'],
    l: ['l', 'gal-us', 'gal-uk'],
};

const corners = ['FL', 'FR', 'RL', 'RR'] as const;

/** What one of our columns is made of. */
export const columnSource = z.strictObject({
    column: theirs(
        'their column; {corner}, {phase} and the other words of unfold stand for each in turn',
    ).optional(),
    constant: z
        .union([z.string(), z.number(), z.boolean()])
        .transform(String)
        .describe('the same value in every row')
        .optional(),
    text: z.string().describe('text put together of their columns: "{Date} {Time}"').optional(),
    sweep: z
        .strictObject({
            left: theirs('their column: camber with the steering turned left'),
            right: theirs('their column: camber with the steering turned right'),
            steer_deg: z
                .union([z.number().gt(0).lt(90), z.string()])
                .describe('angle that the wheel was steered either way, or their column of it'),
        })
        .describe(
            'caster from a steering sweep, by the exact rotation; needs sai_deg or camber_deg of the same row',
        )
        .optional(),
    pattern: pattern(
        'regular expression with a group that has the name of our column; the group is the value; no look-around, no back-references',
    ).optional(),
    unmatched: z
        .enum(['reject', 'blank'])
        .describe('what becomes of a text that the pattern does not fit')
        .default('reject'),
    words: z
        .record(z.string(), z.union([z.string(), z.number(), z.boolean()]).transform(String))
        .describe('their words and what they are in ours: {Vorher: before}')
        .optional(),
    unit: z
        .enum([...new Set(Object.values(unitsOf).flat())])
        .describe(
            "unit of the cells. deg-min: -1°30', -1 30, -1d30m, 1:30, 1°30'30\"; deg-min-dotted: 1.30 is 1 degree 30 minutes; inch: decimals or fractions",
        )
        .optional(),
    diameter_mm: z
        .number()
        .positive()
        .describe('toe in mm or inches: distance of the two points that it was measured between')
        .optional(),
    toe: z.enum(['total', 'wheel']).describe('toe: of the axle, to be halved, or of one wheel').optional(),
    only: z
        .enum(['before', 'moved', 'after', 'all'])
        .describe(
            'the phase that the cell tells of, where one row holds several: marks of a row with before and after are those of after; blank in the others',
        )
        .default('all'),
    flip: z
        .union([z.boolean(), z.array(z.enum(corners))])
        .describe('true where the sign is the other way round, or the corners where it is')
        .default(false),
    date: z
        .enum(['iso', 'day-first', 'month-first', 'year-first'])
        .describe('order of the date; years of two digits are 2000 to 2099')
        .default('iso'),
    zone: z
        .union([z.literal('local'), z.string().regex(/^(Z|[+-](0\d|1[0-4]):[0-5]\d)$/)])
        .describe('local: wall time, kept as written; Z or +02:00 where the file has a fixed offset')
        .default('local'),
});

const condition = z.strictObject({
    column: theirs('their column').optional(),
    blank: z.literal(true).describe('drops rows where the column is blank').optional(),
    pattern: pattern('drops rows where the column fits the regular expression').optional(),
    line: pattern('drops rows whose whole line fits the regular expression').optional(),
});

/**
 * How a file of someone else's is read. Declarative: nothing in it is run or reaches SQL.
 * Which keys belong together is checked by `mapFaults`.
 */
export const importMap = z
    .strictObject({
        kind: z
            .enum(tables.map(({ kind }) => kind))
            .describe('kind of file that the rows become')
            .default('readings'),
        encoding: z
            .enum([...encodings, 'latin-1'])
            .transform((name) => (name === 'latin-1' ? 'windows-1252' : name))
            .describe('a byte order mark in the file wins; latin-1 is windows-1252')
            .default('utf-8'),
        delimiter: z
            .enum([',', ';', 'tab', '|'])
            .transform((name) => (name === 'tab' ? '\t' : name))
            .describe('what stands between the cells')
            .default(','),
        quote: z
            .enum(['"', 'none'])
            .describe('none: a quotation mark is a character like any other')
            .default('"'),
        decimal: z.enum(['.', ',']).describe('what stands before the decimals').default('.'),
        skip_lines: z
            .int()
            .min(0)
            .max(1000)
            .describe('physical lines above the header, such as a title')
            .default(0),
        header_lines: z
            .int()
            .min(0)
            .max(5)
            .describe(
                'rows of the header; of several, a blank cell repeats its left neighbour and the cells are joined by a space; 0: columns are called 1, 2, ...',
            )
            .default(1),
        blank: z
            .array(theirs('a cell with this text counts as blank'))
            .describe('texts that mean not measured: ["-", "n/a"]')
            .default([]),
        drop: z
            .array(condition)
            .describe('rows that are no data, such as a footer; a row that fits any is dropped')
            .default([]),
        unfold: z
            .record(z.string(), z.record(z.string(), z.union([z.string(), z.number()]).transform(String)))
            .describe(
                'makes several rows of one: their word in the column names and our value, for corner, phase or repeat; axle (front, rear) and side (left, right) are parts of corner; one of them alone beside a column of the other, which corner puts together with text. {corner: {VL: FL, VR: FR}}',
            )
            .default({}),
        columns: z
            .record(
                z.string(),
                z.union([
                    z
                        .union([z.string(), z.number()])
                        .transform((name) => columnSource.parse({ column: name })),
                    columnSource,
                ]),
            )
            .describe('our column: their column, or what else it is made of'),
        ignore: z
            .array(theirs('a column of the file that is not wanted'))
            .describe('every column of the file that is neither used nor ignored is an error')
            .default([]),
    })
    .meta({
        title: 'Import map of strutmark load --map',
        description: 'How a file of someone else is read: which of its columns gives each of ours',
    });

export type ImportMap = z.infer<typeof importMap>;
export type ColumnSource = z.infer<typeof columnSource>;
