import { z } from 'zod';
import { forgottenRow } from './forget.js';
import { count, result, textOrNull } from './result.js';

export const loadRow = z.object({
    file: z.string(),
    kind: textOrNull,
    read_count: count.describe('data rows read; = loaded + duplicate + rejected'),
    loaded_count: count.describe('rows taken, replacing ones included'),
    duplicate_count: count.describe('rows already there with the same content'),
    rejected_count: count,
    replaced_count: count.describe('of the loaded rows, those that superseded an earlier row'),
    unchanged_count: count
        .optional()
        .describe('with --instead-of: of the replaced rows, those with the same content'),
    gone_count: count
        .optional()
        .describe('with --instead-of: rows of the earlier load that the file no longer holds, now voided'),
    voided_count: count
        .optional()
        .describe('of the duplicate rows, those that are voided and stay so, where there are any'),
    kept_columns: z
        .array(z.string())
        .optional()
        .describe('columns that the file lacks, of which replaced rows kept what they held'),
    map: z.string().optional().describe('the import map, where there is one; it makes the rows read'),
    source_row_count: count.optional().describe('with a map: rows of the file behind the header'),
    dropped_row_count: count.optional().describe('with a map: of those, the rows that it drops'),
});

export const loadResult = result('load', loadRow).extend({
    gone: z.array(forgottenRow).optional().describe('with --instead-of: the rows that gone_count counts'),
});

export const rejectRow = z.object({
    file: z.string(),
    line: z.int().min(1).describe('physical line on which the row begins'),
    column: textOrNull,
    reason: z.string(),
    text: z.string().describe('the row as it stood in the file'),
});

export const rejectsResult = result('rejects', rejectRow);

export const writtenRejectsRow = z.object({
    file: z.string().describe('rows to mend, below the header that they had'),
    reasons_file: z.string().describe('what is wrong on which line of the file'),
    kind: z.string(),
    row_count: count,
    map: z.string().optional().describe('the import map that the rows need, where there is one'),
});

export const writtenRejectsResult = result('rejects', writtenRejectsRow);

export type LoadRow = z.infer<typeof loadRow>;
export type RejectRow = z.infer<typeof rejectRow>;
export type WrittenRejectsRow = z.infer<typeof writtenRejectsRow>;
