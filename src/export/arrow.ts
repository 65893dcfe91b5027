import { createWriteStream } from 'node:fs';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import {
    Binary,
    Bool,
    type DataType,
    Field,
    Float64,
    Int32,
    Int64,
    makeBuilder,
    makeData,
    RecordBatch,
    RecordBatchFileWriter,
    Schema,
    Struct,
    TimestampMicrosecond,
    Utf8,
} from 'apache-arrow';
import type { Database } from '../db/database.js';
import { type ExportColumn, isNested } from './exportTable.js';

const arrowTypes: Readonly<Record<string, new () => DataType>> = {
    BOOLEAN: Bool,
    BLOB: Binary,
    TINYINT: Int32,
    SMALLINT: Int32,
    INTEGER: Int32,
    BIGINT: Int64,
    UBIGINT: Int64,
    FLOAT: Float64,
    DOUBLE: Float64,
    TIMESTAMP: TimestampMicrosecond,
    VARCHAR: Utf8,
};

function arrowType(type: string): DataType {
    const Type = isNested(type) ? Utf8 : arrowTypes[type];
    if (Type === undefined) throw new TypeError(`no Arrow type for SQL type ${type}`);
    return new Type();
}

function field(column: ExportColumn): Field {
    const metadata = new Map<string, string>();
    if (column.unit !== null) metadata.set('unit', column.unit);
    if (column.description !== null) metadata.set('description', column.description);
    return new Field(column.name, arrowType(column.type), true, metadata);
}

/**
 * Writes the rows of `query` as an Arrow IPC file: one record batch per result chunk, so memory does not grow with the
 * table; unit and description of each column in its field metadata.
 */
export async function writeArrow(
    db: Database,
    query: string,
    columns: readonly ExportColumn[],
    file: string,
): Promise<void> {
    const schema = new Schema(columns.map(field));
    const result = await db.connection.stream(query);
    async function* batches() {
        for (;;) {
            const chunk = await result.fetchChunk();
            if (chunk === null || chunk.rowCount === 0) return;
            const children = schema.fields.map(({ type }, index) => {
                const builder = makeBuilder({ type, nullValues: [null] });
                for (const value of chunk.getColumnValues(index)) builder.append(plain(value));
                return builder.finish().flush();
            });
            yield new RecordBatch(
                schema,
                makeData({ type: new Struct(schema.fields), length: chunk.rowCount, children }),
            );
        }
    }
    const writer = new RecordBatchFileWriter();
    writer.reset(undefined, schema);
    // Not toNodeStream(): a side effect of the package gives it to the writer, and bundling drops that.
    const written = pipeline(Readable.from(writer), createWriteStream(file));
    for await (const batch of batches()) writer.write(batch);
    writer.finish();
    await written;
}

function plain(value: unknown): unknown {
    if (typeof value === 'object' && value !== null && 'bytes' in value)
        return (value as { bytes: Uint8Array }).bytes;
    if (typeof value === 'object' && value !== null && 'micros' in value)
        return Number((value as { micros: bigint }).micros) / 1000;
    return value;
}
