import { z } from 'zod';
import { count, result } from './result.js';

export const exportRow = z.object({ table: z.string(), file: z.string(), row_count: count });
export const exportResult = result('export', exportRow);
