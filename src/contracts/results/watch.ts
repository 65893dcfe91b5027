import { z } from 'zod';
import { count, result, textOrNull } from './result.js';

/** What became of a file that arrived in a watched folder. */
export const watchRow = z.object({
    file: z.string().describe('as it arrived, below the watched folder'),
    moved_to: z.string().describe('where it is now, below the watched folder: in taken/ or set-aside/'),
    kind: textOrNull.describe('null = the file as a whole was refused'),
    loaded_count: count.describe('new rows'),
    duplicate_count: count.describe('rows that were known'),
    rejected_count: count.describe('rows set aside; the file beside holds them with the reasons'),
    reason: textOrNull.describe('why the file as a whole was refused'),
});

export const watchResult = result('watch', watchRow);

export type WatchRow = z.infer<typeof watchRow>;
