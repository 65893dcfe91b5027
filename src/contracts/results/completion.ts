import { z } from 'zod';
import { result } from './result.js';

/** A script that completes command lines, or with --values a word that could stand there. */
export const completionRow = z.object({ shell: z.string().nullable(), text: z.string() });

export const completionResult = result('completion', completionRow);
