import { z } from 'zod';
import { count, estimate } from '../../src/contracts/results/result.js';
import { measuredStackRow } from '../../src/contracts/results/stack.js';

const pair = { kit: z.string(), shaft: z.string() };

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    stacks: measuredStackRow.extend({ place: z.int().min(1) }),
    layers: z.object({
        ...pair,
        layer: z.int().min(1),
        part: z.string(),
        role: z.string(),
        height_mm: z.number(),
        low_mm: z.number(),
    }),
    limits: z.object({
        ...pair,
        label: z.string(),
        sound: z.boolean(),
        measure: z.enum(['margin', 'thread', 'clearance']),
        length_mm: z.number(),
        low_mm: z.number(),
        high_mm: z.number(),
        rss_low_mm: z.number(),
        rss_high_mm: z.number(),
        needed_mm: z.number(),
        wish_low_mm: estimate,
        wish_high_mm: estimate,
        frame_low_mm: z.number(),
        frame_high_mm: z.number(),
        shown_mm: estimate,
        shown_low_mm: estimate,
        shown_high_mm: estimate,
        shown_rss_low_mm: estimate,
        shown_rss_high_mm: estimate,
        beyond_low_mm: estimate,
        beyond_high_mm: estimate,
    }),
    parts: z.object({
        kit: z.string(),
        part: z.string(),
        role: z.string(),
        fits_diameter_mm: estimate,
        height_mm: z.number(),
        height_tol_mm: z.number(),
        part_count: count,
        required: z.boolean(),
        shaft_count: count,
        fits_count: count,
        sound_count: count,
        best_count: count,
        smallest_count: count,
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Stack = Rows['stacks'][number];
export type Layer = Rows['layers'][number];
export type Limit = Rows['limits'][number];
export type Part = Rows['parts'][number];

/** Stacks with drawings, those that lack no part; the table has all. A stack that stands alone is drawn as it is. */
export function drawnStacks({ stacks }: Rows): Stack[] {
    return stacks.length === 1
        ? [...stacks]
        : stacks.filter(({ defects }) => defects.length === 0).slice(0, 12);
}

/** Kits of the page in their order. */
export function kitsOf({ stacks }: Rows): string[] {
    return [...new Set(stacks.map(({ kit }) => kit))].sort();
}
