import type { Database } from '../db/database.js';
import { buildStamp } from './buildStamp.js';
import type { ReportChoice } from './choice.js';
import { listReports } from './registry.js';
import { renderReport } from './renderReport.js';

interface WrittenReport {
    name: string;
    file: string;
    bytes: number;
}

/** Writes the pages `names`, or all where none is named, into the folder `out`, made of what `choice` leaves; `db` holds the model tables. */
export async function writeReports(
    db: Database,
    names: readonly string[],
    out: string,
    choice: ReportChoice = {},
): Promise<WrittenReport[]> {
    const stamp = await buildStamp(db);
    const written: WrittenReport[] = [];
    for (const name of names.length === 0 ? listReports() : names) {
        written.push({ name, ...(await renderReport(name, db, { out, stamp, choice })) });
    }
    return written;
}
