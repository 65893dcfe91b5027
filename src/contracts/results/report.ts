import { z } from 'zod';
import { count, result } from './result.js';

export const reportRow = z.object({ name: z.string(), file: z.string(), bytes: count });
export const reportResult = result('report', reportRow);

export type ReportRow = z.infer<typeof reportRow>;
