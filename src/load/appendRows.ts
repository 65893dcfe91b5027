import { DuckDBTimestampValue } from '@duckdb/node-api';
import type { Database } from '../db/database.js';

/** A value of a column of its type; numbers are integers. */
type Value = string | number | bigint | Buffer | DuckDBTimestampValue | null | undefined;

/** Appends rows, each with a value for every column of `table`, without SQL. */
export async function appendRows(
    db: Database,
    table: string,
    rows: readonly (readonly Value[])[],
): Promise<void> {
    const appender = await db.connection.createAppender(table);
    for (const row of rows) {
        for (const value of row) {
            if (value == null) appender.appendNull();
            else if (typeof value === 'string') appender.appendVarchar(value);
            else if (typeof value === 'number') appender.appendInteger(value);
            else if (typeof value === 'bigint') appender.appendBigInt(value);
            else if (value instanceof DuckDBTimestampValue) appender.appendTimestamp(value);
            else appender.appendBlob(value);
        }
        appender.endRow();
    }
    appender.closeSync();
}
