import { z } from 'zod';
import { count, result, textOrNull } from './result.js';

/** Where one stands: what `strutmark` without a command says. */
export const startRow = z.object({
    database: z.string(),
    exists: z.boolean(),
    reading_count: count,
    vehicle_count: count,
    chassis_count: count,
    visit_count: count,
    newest_on: textOrNull.describe('day of the newest reading, ISO 8601'),
    rejected_count: count.describe('rows set aside that wait to be mended'),
    unknown_kits: z.array(z.string()).describe('kits that readings name and the kits file does not'),
    unknown_targets: z.array(z.string()).describe('targets that readings name and the targets file does not'),
    missing_kinds: z.array(z.string()).describe('kinds of file that hold no row yet'),
    next: z.array(z.string()).describe('command lines that can be typed now, most useful first'),
});

export type StartRow = z.infer<typeof startRow>;
export const startResult = result('start', startRow);

/** A file that `init` wrote. */
export const initRow = z.object({
    file: z.string(),
    kind: z.string().describe('kind of file, map, or export = an example of what a map reads'),
    row_count: count.describe('example rows, all invented'),
});

export type InitRow = z.infer<typeof initRow>;
export const initResult = result('init', initRow);
