import { z } from 'zod';

/** Words shared by all results; a field that cannot be estimated is null, never 0 or NaN. */
export const estimate = z.number().nullable();
export const count = z.int().min(0);
export const probability = z.number().min(0).max(1).nullable();
export const chassisCode = z.string();
export const textOrNull = z.string().nullable();

type Named<P, W extends string, V extends string> = {
    [K in keyof P as K extends `${infer Before}${W}${infer After}` ? `${Before}${V}${After}` : K]: P[K];
};

/** `parts` with `value` for `word` in their names: `camber_shown_deg` is `angle_shown_deg` of the angle camber. */
export function named<W extends string, V extends string, P extends z.ZodRawShape>(
    word: W,
    value: V,
    parts: P,
): Named<P, W, V> {
    const entries = Object.entries(parts).map(([name, part]) => [name.replace(word, value), part]);
    return Object.fromEntries(entries) as Named<P, W, V>;
}

export const fronts = ['FL', 'FR'] as const;
export const hands = ['left', 'right'] as const;
export const basis = z
    .enum(['own', 'others', 'geometry', 'flagged'])
    .describe(
        'where the degrees per mm come from: moves of this chassis, other chassis and geometry, geometry alone, or (flagged) own data set aside as implausible',
    );
export const responses = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;
export const axes = ['out', 'aft'] as const;

/** How likely each limit of a corner is met by itself: the least of them costs the chance for all most. */
export const limitChances = {
    p_camber_in_tolerance: probability.describe('camber of this corner alone; null = not wanted or not read'),
    p_caster_in_tolerance: probability.describe('caster of this corner alone; null = not wanted or not read'),
};

/** `{"command", "rows", "notes"}` around the rows of one command. */
export function result<const C extends string, R extends z.ZodObject>(command: C, row: R) {
    return z.object({ command: z.literal(command), rows: z.array(row), notes: z.array(z.string()) });
}
