import { z } from 'zod';
import { chassisCode, probability, result, textOrNull } from './result.js';

export const checkRow = z.object({
    check: z.string().describe('name of the query in sql/checks'),
    chassis: chassisCode.nullable(),
    vehicle: textOrNull,
    corner: textOrNull,
    visit: textOrNull,
    finding: z.string().describe('what looks wrong'),
    likely: z.string().describe('the likely mistake'),
    mend: z.string().describe('how to mend it'),
    p_mistake: probability.describe('how sure, 0..1; null = cannot be told from the readings'),
    explained_by: textOrNull.describe(
        'check whose finding on the same car and visit makes this one a likely consequence',
    ),
    file: textOrNull,
    line: z.int().min(1).nullable(),
});

export type CheckRow = z.infer<typeof checkRow>;
export const checkResult = result('check', checkRow);
