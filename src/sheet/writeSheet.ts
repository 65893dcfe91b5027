import { join } from 'node:path';
import type { ReportRow } from '../contracts/results/report.js';
import type { Database } from '../db/database.js';
import { writePage } from '../report/renderReport.js';
import { gatherBook, type SheetChoice } from './gatherBook.js';
import { sheetPage } from './page.js';

/** Writes the sheet of the cars that `choice` names to `<out>/sheet.html`; a {@link UserError} where there is none, or no such folder. */
export async function writeSheet(db: Database, out: string, choice: SheetChoice): Promise<ReportRow> {
    const page = sheetPage(await gatherBook(db, choice, false));
    return { name: 'sheet', ...writePage(join(out, 'sheet.html'), page) };
}

export { sheetNeeds } from './gatherBook.js';
