/**
 * Strutmark as a library: `openBook(file)`, its questions, and the types of their rows. Nothing happens at import.
 *
 *     const book = openBook('strutmark.duckdb');
 *     await book.load(['kits.csv', 'readings.csv']);
 *     const { rows } = await book.slopes({ chassis: 'OTTER' });
 *     await book.close();
 */

export { type ErrorCode, errorCodes, UsageError, UserError } from '../errors/errors.js';
export { packageVersion as version } from '../packageRoot.js';
export { Book, type BookOptions, type Loaded, type LoadOptions, openBook } from './openBook.js';
export type * from './rows.js';
export type {
    AdviseQuestion,
    Answer,
    AuditQuestion,
    ClockingQuestion,
    DriftQuestion,
    ExportOptions,
    PlanQuestion,
    RangeQuestion,
    ReportQuestion,
    StackQuestion,
} from './types.js';
