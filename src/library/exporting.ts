import { rmSync } from 'node:fs';
import type { ExportRow } from '../contracts/results/export.js';
import {
    exportFormat,
    exportMonths,
    exportTable,
    requireFree,
    stagingFolder,
} from '../export/exportTable.js';
import type { Question } from './askModel.js';
import type { ExportOptions } from './types.js';

/** Writes `table` as a file; `ask` puts a question to the database, which may write to the folder that it is given. */
export async function exported(
    table: string,
    { to, byMonth, overwrite }: ExportOptions,
    ask: (question: Question<number>, folder: string) => Promise<number>,
): Promise<ExportRow> {
    if (!byMonth) exportFormat(to);
    if (!byMonth && !overwrite) requireFree(to);
    const staging = stagingFolder(to);
    try {
        const { documentedColumns } = await import('../model/columnTexts.js');
        const texts = documentedColumns(table);
        const question = async () => ({
            needs: [table],
            ask: (db: Parameters<typeof exportTable>[0]) =>
                byMonth
                    ? exportMonths(db, table, to, staging)
                    : exportTable(db, table, to, staging, { overwrite, texts }),
        });
        return { table, file: to, row_count: await ask(question, staging) };
    } finally {
        rmSync(staging, { recursive: true, force: true });
    }
}
