import { z } from 'zod';
import { result } from './result.js';

/** A caution that every answer about a strut mount stands under. */
export const cautionRow = z.object({
    name: z.string(),
    text: z.string(),
});

export const cautionsResult = result('cautions', cautionRow);
