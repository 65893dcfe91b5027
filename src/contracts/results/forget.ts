import { z } from 'zod';
import { kinds } from '../kinds.js';
import { count, result } from './result.js';

export const forgottenRow = z.object({
    voiding_id: z.int().min(1).describe('voiding that took the row out; in a dry run the one that would'),
    kind: z.enum(kinds),
    file: z.string(),
    line: z.int().min(1).describe('physical line on which the row begins'),
    load_id: z.int().min(1),
    key: z.string().describe('COLUMN=VALUE of each column of the key, behind commas'),
    status: z.enum(['voided', 'brought back', 'key taken']).describe('in a dry run: what it would become'),
    taken_by: z.string().optional().describe('key taken: FILE:LINE of the row that has the key now'),
});

export const forgetResult = result('forget', forgottenRow);

export const voidingRow = z.object({
    voiding_id: z.int().min(1),
    asked: z.string().describe('what was to be voided, as it was named'),
    voided_at: z.string().describe('UTC'),
    voided_by: z.string(),
    because: z.string(),
    row_count: count.describe('rows taken out'),
    brought_back_count: count.describe('of these, rows that were brought back'),
});

export const voidingsResult = result('forget', voidingRow);

export type ForgottenRow = z.infer<typeof forgottenRow>;
export type VoidingRow = z.infer<typeof voidingRow>;
