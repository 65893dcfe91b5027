import { createHash } from 'node:crypto';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { readings } from '../contracts/readings.js';
import { openDatabase } from '../db/openDatabase.js';
import { quotedCell } from '../load/csvCells.js';
import { type LoadOptions, loadFiles } from '../load/loadFiles.js';
import { listRejects } from '../load/rejects.js';

/** Rows as a sheet sends them: cells as text by column, and whether they mend rows that this device had sent before. */
export const sentRows = z.strictObject({
    rows: z
        .array(
            z.strictObject({
                cells: z
                    .partialRecord(
                        z.enum(readings.names),
                        z
                            .string()
                            .max(2000)
                            .regex(/^[^\r\n]*$/),
                    )
                    // A line of nothing but commas would not count as a row.
                    .refine(
                        (cells) => Object.values(cells).some((text) => text?.trim()),
                        'a row holds nothing',
                    ),
                mends: z.boolean(),
            }),
        )
        .min(1)
        .max(200),
});

export type SentRows = z.infer<typeof sentRows>['rows'];

/** By place in what was sent: rows that the database holds now, whether new or known, and rows that it does not take. */
export interface Received {
    taken: number[];
    refused: { at: number; reason: string }[];
}

/** A file of the rows, of one name for the same rows: sent again, they are known by name and content. */
function fileOf(folder: string, rows: SentRows): string {
    const lines = rows.map(({ cells }) =>
        readings.names.map((name) => quotedCell(cells[name] ?? '')).join(','),
    );
    const text = `${[readings.names.join(','), ...lines].join('\n')}\n`;
    mkdirSync(folder, { recursive: true });
    const file = join(folder, `sheet-${createHash('sha256').update(text).digest('hex').slice(0, 16)}.csv`);
    writeFileSync(file, text);
    return file;
}

/**
 * Takes rows into the database as `load` would take a file of them, which stays in `folder`. Keys make each row count once, however
 * often it is sent; a row that mends one of the same key replaces it, any other of a known key with other content is refused.
 */
export async function takeRows(
    dbFile: string,
    folder: string,
    rows: SentRows,
    options: Pick<LoadOptions, 'patience' | 'say' | 'memoryLimit'>,
): Promise<Received> {
    const received: Received = { taken: [], refused: [] };
    for (const mends of [false, true]) {
        const places = [...rows.keys()].filter((at) => rows[at]!.mends === mends);
        if (places.length === 0) continue;
        const file = fileOf(
            folder,
            places.map((at) => rows[at]!),
        );
        const report = await loadFiles([file], dbFile, { ...options, replace: mends });
        const [refused] = report.refused;
        const reasons = new Map<number, string>();
        if (refused !== undefined) for (const at of places) reasons.set(at, refused.reason);
        else if (report.rows[0]!.rejected_count > 0) {
            const db = await openDatabase({ file: dbFile, mode: 'read', ...options });
            try {
                // The header is the first line; cells hold no line ends.
                for (const { line, column, reason } of await listRejects(db, file)) {
                    reasons.set(places[line - 2]!, column === null ? reason : `${column}: ${reason}`);
                }
            } finally {
                db.close();
            }
        }
        received.taken.push(...places.filter((at) => !reasons.has(at)));
        received.refused.push(...[...reasons].map(([at, reason]) => ({ at, reason })));
    }
    return received;
}
