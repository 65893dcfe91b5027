import { identifier } from '../db/database.js';
import { bookkeeping } from '../db/schema.js';

/** Whether a file with the columns `names` is an exported table of rows: it has the columns that say where each came from. */
const isExported = (names: readonly string[]) => bookkeeping.origin.every((name) => names.includes(name));

/** Columns of a file with the columns `names` that are not read: what an exported table says of the origin of its rows. */
export function unreadColumns(names: readonly string[]): readonly string[] {
    return isExported(names) ? [...bookkeeping.origin, ...bookkeeping.later] : [];
}

/** A cell of a file with the columns `names`: an exported one has an apostrophe before text that a spreadsheet would run. */
export function writtenCell(name: string, names: readonly string[]): string {
    const cell = identifier(name);
    if (!isExported(names)) return cell;
    return `regexp_replace(${cell}, '^''(''*[=+@\\t\\r-])', '\\1') as ${cell}`;
}
