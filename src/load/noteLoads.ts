import { DuckDBTimestampValue } from '@duckdb/node-api';
import type { LoadRow } from '../contracts/results/load.js';
import type { Database } from '../db/database.js';

/** What the books hold of one load. */
export interface LoadNote {
    loadId: number;
    /** The file without links and relative parts. */
    path: string;
    byteCount: number;
    sha256: string;
    /** See {@link checksHash}. */
    checks: string;
    /** Header as it stood in the file. */
    header: string;
    row: LoadRow;
}

/** Writes the loads into the books. */
export async function noteLoads(db: Database, notes: readonly LoadNote[]): Promise<void> {
    const appender = await db.connection.createAppender('loads');
    const now = new DuckDBTimestampValue(BigInt(Date.now()) * 1000n);
    const text = (value: string | null | undefined) =>
        value == null ? appender.appendNull() : appender.appendVarchar(value);
    const number = (value: number | null | undefined) =>
        value == null ? appender.appendNull() : appender.appendInteger(value);
    for (const { loadId, path, byteCount, sha256, checks, header, row } of notes) {
        number(loadId);
        for (const value of [row.file, path, row.kind]) text(value);
        appender.appendBigInt(BigInt(byteCount));
        for (const value of [sha256, checks, header]) text(value);
        appender.appendTimestamp(now);
        for (const value of [row.read_count, row.loaded_count, row.duplicate_count]) number(value);
        for (const value of [row.rejected_count, row.replaced_count]) number(value);
        text(row.map);
        for (const value of [row.source_row_count, row.dropped_row_count]) number(value);
        appender.endRow();
    }
    appender.closeSync();
}
