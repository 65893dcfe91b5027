import { type DuckDBDataChunk, type DuckDBValue, type DuckDBVector, listValue } from '@duckdb/node-api';

/** What a vector of node-api keeps. Its own methods make two BigInts per value where one is NULL, and decode each text anew. */
interface Kept {
    items?: ArrayLike<unknown>;
    /** Of texts and truth values. */
    dataView?: DataView;
    /** Of lists: where each one starts, and its length. */
    entryData?: BigUint64Array;
    childData?: DuckDBVector & Kept;
    validity?: { data: BigUint64Array | null };
}

/** A bit per value, set unless it is NULL; null where none is. */
function bitsOf({ validity }: Kept): Uint8Array | null {
    if (validity === undefined || validity.data === null) return null;
    const { buffer, byteOffset, byteLength } = validity.data;
    return new Uint8Array(buffer, byteOffset, byteLength);
}

const isValid = (bits: Uint8Array | null, row: number) =>
    bits === null || ((bits[row >> 3]! >> (row & 7)) & 1) === 1;

/** Texts that the last rows had are not decoded again: DuckDB keeps one in 16 bytes, whole or as its length, start and place in memory. */
const REMEMBERED = 4;

function textsOf(
    vector: DuckDBVector,
    view: DataView,
    bits: Uint8Array | null,
    count: number,
): DuckDBValue[] {
    const words = new Uint32Array(view.buffer, view.byteOffset, 4 * count);
    const found: DuckDBValue[] = new Array(count);
    const rows = new Int32Array(REMEMBERED).fill(-1);
    let oldest = 0;
    for (let row = 0; row < count; row++) {
        if (!isValid(bits, row)) {
            found[row] = null;
            continue;
        }
        const at = 4 * row;
        let same = -1;
        for (let k = 0; k < REMEMBERED && same < 0; k++) {
            const from = 4 * rows[k]!;
            if (
                from >= 0 &&
                words[at] === words[from] &&
                words[at + 1] === words[from + 1] &&
                words[at + 2] === words[from + 2] &&
                words[at + 3] === words[from + 3]
            )
                same = rows[k]!;
        }
        if (same < 0) {
            rows[oldest] = row;
            oldest = (oldest + 1) % REMEMBERED;
        }
        found[row] = same < 0 ? vector.getItem(row) : found[same]!;
    }
    return found;
}

/** The values of a column of a chunk. */
export function valuesOf(chunk: DuckDBDataChunk, column: number): DuckDBValue[] {
    const vector = chunk.getColumnVector(column) as DuckDBVector & Kept;
    const { items, dataView, entryData, childData } = vector;
    const [bits, count] = [bitsOf(vector), chunk.rowCount];
    if (dataView?.byteLength === 16 * count && dataView.byteOffset % 4 === 0)
        return textsOf(vector, dataView, bits, count);
    const found: DuckDBValue[] = new Array(count);
    if (items instanceof Float64Array || items instanceof Int32Array) {
        for (let row = 0; row < count; row++) found[row] = isValid(bits, row) ? items[row]! : null;
        return found;
    }
    const numbers = childData?.items;
    if (entryData === undefined || !(numbers instanceof Float64Array) || bitsOf(childData!) !== null)
        return chunk.getColumnValues(column);
    const places = new Uint32Array(entryData.buffer, entryData.byteOffset, 4 * count);
    for (let row = 0; row < count; row++) {
        const from = places[4 * row]!;
        const list = numbers.subarray(from, from + places[4 * row + 2]!);
        found[row] = isValid(bits, row) ? listValue(Array.from(list)) : null;
    }
    return found;
}
