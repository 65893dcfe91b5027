import { z } from 'zod';

/** Words shared by all results; a field that cannot be estimated is null, never 0 or NaN. */
export const estimate = z.number().nullable();
export const count = z.int().min(0);
export const probability = z.number().min(0).max(1).nullable();
export const chassisCode = z.string();

/** `{"command", "rows", "notes"}` around the rows of one command. */
export function result<const C extends string, R extends z.ZodObject>(command: C, row: R) {
    return z.object({ command: z.literal(command), rows: z.array(row), notes: z.array(z.string()) });
}
