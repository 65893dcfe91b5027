import { z } from 'zod';
import { count, result } from './result.js';

export const exportRow = z.object({ table: z.string(), file: z.string(), row_count: count });
export const exportResult = result('export', exportRow);

/** A table that can be exported: `export --list`. */
export const exportableRow = z.object({
    table: z.string(),
    kind: z.enum(['input', 'model']).describe('input: what was loaded; model: what is made from it'),
    title: z.string(),
    grain: z.string().describe('what a row is'),
});
export const exportablesResult = result('export', exportableRow);

export type ExportRow = z.infer<typeof exportRow>;
