import { z } from 'zod';
import { result, textOrNull } from './result.js';

/** A script that completes command lines, or with --values a word that could stand there. */
export const completionRow = z.object({ shell: textOrNull, text: z.string() });

export const completionResult = result('completion', completionRow);
