import { DuckDBTimestampValue } from '@duckdb/node-api';
import type { LoadRow } from '../contracts/results/load.js';
import type { Database } from '../db/database.js';
import { appendRows } from './appendRows.js';

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
    const now = new DuckDBTimestampValue(BigInt(Date.now()) * 1000n);
    await appendRows(
        db,
        'loads',
        notes.map(({ loadId, path, byteCount, sha256, checks, header, row }) => [
            loadId,
            row.file,
            path,
            row.kind,
            BigInt(byteCount),
            sha256,
            checks,
            header,
            now,
            row.read_count,
            row.loaded_count,
            row.duplicate_count,
            row.rejected_count,
            row.replaced_count,
            row.map,
            row.source_row_count,
            row.dropped_row_count,
        ]),
    );
}
