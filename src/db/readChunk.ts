import { type DuckDBDataChunk, type DuckDBType, DuckDBTypeId } from '@duckdb/node-api';
import duckdb, { type Vector } from '@duckdb/node-bindings';
import { type Cell, safeNumber, toCells } from './values.js';

/** Reads the values of a vector of one type, `isThere` or null. */
type Reader = (vector: Vector, count: number, isThere: (row: number) => boolean) => Cell[];

const always = () => true;

function presence(vector: Vector, count: number): (row: number) => boolean {
    const bits = duckdb.vector_get_validity(vector, Math.ceil(count / 64) * 8) as Uint8Array | null;
    return bits === null ? always : (row) => (bits[row >> 3]! & (1 << (row & 7))) !== 0;
}

type Numbers = Float64ArrayConstructor | Int32ArrayConstructor | Uint8ArrayConstructor;

/** DuckDB lays numbers out as typed arrays do. */
function layout(Values: Numbers, vector: Vector, count: number) {
    const { buffer, byteOffset } = duckdb.vector_get_data(vector, count * Values.BYTES_PER_ELEMENT);
    return new Values(buffer as ArrayBuffer, byteOffset, count);
}

function numbers(Values: Numbers, toCell: (value: number) => Cell = (value) => value): Reader {
    return (vector, count, isThere) => {
        const values = layout(Values, vector, count);
        const cells = new Array<Cell>(count);
        for (let row = 0; row < count; row++) cells[row] = isThere(row) ? toCell(values[row]!) : null;
        return cells;
    };
}

/** 64 bits as two halves, the lower one first. */
function wholeNumber(low: number, high: number): number {
    const value = high * 4_294_967_296 + low;
    return Number.isSafeInteger(value) ? value : safeNumber(BigInt(high) * 4_294_967_296n + BigInt(low));
}

const wholeNumbers: Reader = (vector, count, isThere) => {
    const { buffer, byteOffset } = duckdb.vector_get_data(vector, count * 8);
    const halves = new Int32Array(buffer as ArrayBuffer, byteOffset, count * 2);
    const cells = new Array<Cell>(count);
    for (let row = 0; row < count; row++)
        cells[row] = isThere(row) ? wholeNumber(halves[2 * row]! >>> 0, halves[2 * row + 1]!) : null;
    return cells;
};

const STRING_BYTES = 16;
const INLINE_BYTES = 12;
const decoder = new TextDecoder();

/** A string is its length and, up to 12 bytes, its bytes; else their first four and where all of them are. Equal neighbours are decoded once. */
const strings: Reader = (vector, count, isThere) => {
    const { buffer, byteOffset } = duckdb.vector_get_data(vector, count * STRING_BYTES);
    const words = new Int32Array(buffer, byteOffset, count * 4);
    const cells = new Array<Cell>(count);
    let [a, b, c, d, text] = [0, 0, 0, 0, ''];
    for (let row = 0; row < count; row++) {
        if (!isThere(row)) {
            cells[row] = null;
            continue;
        }
        const at = row * 4;
        const [e, f, g, h] = [words[at]!, words[at + 1]!, words[at + 2]!, words[at + 3]!];
        if (a !== e || b !== f || c !== g || d !== h) {
            const start = byteOffset + row * STRING_BYTES;
            const bytes =
                e <= INLINE_BYTES
                    ? new Uint8Array(buffer, start + 4, e)
                    : duckdb.get_data_from_pointer(buffer as ArrayBuffer, start + 8, e);
            const next = decoder.decode(bytes);
            // One text in memory for equal ones: they compare at once.
            if (next !== text) text = next;
            [a, b, c, d] = [e, f, g, h];
        }
        cells[row] = text;
    }
    return cells;
};

const doubles = numbers(Float64Array);

/** Lists of numbers: where each begins and how many it has, and the values of all. */
const numberLists: Reader = (vector, count, isThere) => {
    const { buffer, byteOffset } = duckdb.vector_get_data(vector, count * 16);
    const entries = new BigUint64Array(buffer, byteOffset, count * 2);
    const child = duckdb.list_vector_get_child(vector);
    const size = duckdb.list_vector_get_size(vector);
    const items = doubles(child, size, presence(child, size));
    const cells = new Array<Cell>(count);
    for (let row = 0; row < count; row++) {
        const from = Number(entries[2 * row]);
        cells[row] = isThere(row) ? items.slice(from, from + Number(entries[2 * row + 1])) : null;
    }
    return cells;
};

const readers: Partial<Record<DuckDBTypeId, Reader>> = {
    [DuckDBTypeId.DOUBLE]: doubles,
    [DuckDBTypeId.INTEGER]: numbers(Int32Array),
    [DuckDBTypeId.BIGINT]: wholeNumbers,
    [DuckDBTypeId.BOOLEAN]: numbers(Uint8Array, (value) => value !== 0),
    [DuckDBTypeId.VARCHAR]: strings,
};

const isNumberList = (type: DuckDBType) => String(type) === 'DOUBLE[]';

function readColumn(chunk: DuckDBDataChunk, type: DuckDBType, index: number): Cell[] {
    const count = chunk.rowCount;
    const read = isNumberList(type) ? numberLists : readers[type.typeId];
    if (read === undefined) return toCells(type, chunk.getColumnValues(index));
    const vector = duckdb.data_chunk_get_vector(chunk.chunk, index);
    return read(vector, count, presence(vector, count));
}

const layouts: Partial<Record<DuckDBTypeId, Numbers>> = {
    [DuckDBTypeId.DOUBLE]: Float64Array,
    [DuckDBTypeId.INTEGER]: Int32Array,
};

/** The same as {@link readChunk}, numbers in typed arrays, NaN where they are null: arithmetic reads these several times as fast. */
export function readTyped(chunk: DuckDBDataChunk, types: readonly DuckDBType[]): ArrayLike<Cell>[] {
    const count = chunk.rowCount;
    return types.map((type, index) => {
        const Values = layouts[type.typeId];
        if (Values === undefined) return readColumn(chunk, type, index);
        const vector = duckdb.data_chunk_get_vector(chunk.chunk, index);
        const values = new Float64Array(layout(Values, vector, count));
        const isThere = presence(vector, count);
        if (isThere !== always)
            for (let row = 0; row < count; row++) if (!isThere(row)) values[row] = Number.NaN;
        return values;
    });
}

/**
 * The values of `chunk` by column, of these types, as {@link Cell}s. Numbers, lists of them, booleans and texts are read from DuckDB's memory: the
 * library reads one at a time, with a BigInt for each that may be null, which takes several times as long.
 */
export const readChunk = (chunk: DuckDBDataChunk, types: readonly DuckDBType[]): Cell[][] =>
    types.map((type, index) => readColumn(chunk, type, index));
