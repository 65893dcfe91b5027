import {
    BIGINT,
    BOOLEAN,
    DOUBLE,
    DuckDBDataChunk,
    type DuckDBType,
    INTEGER,
    LIST,
    TIMESTAMP,
    VARCHAR,
} from '@duckdb/node-api';
import duckdb, { type Vector } from '@duckdb/node-bindings';
import type { Cell } from './values.js';

/** Rows of a chunk. */
export const CHUNK_ROWS = 2048;

type Numbers = Float64Array | Int32Array | Uint8Array | BigInt64Array;

const copy = (vector: Vector, { buffer, byteOffset }: Numbers, byteCount: number) =>
    duckdb.copy_data_to_vector(vector, 0, buffer as ArrayBuffer, byteOffset, byteCount);

/** The values of one column of a chunk, laid out as DuckDB has them. */
abstract class Column {
    readonly type: DuckDBType;
    readonly #bits = new Uint8Array(CHUNK_ROWS / 8);
    #hasNull = false;

    constructor(type: DuckDBType) {
        this.type = type;
    }

    /** Takes the value of `row`; one of another type throws. */
    put(row: number, value: Cell): void {
        if (row % 8 === 0) this.#bits[row >> 3] = 0;
        if (value === null) this.#hasNull = true;
        else this.#bits[row >> 3]! |= 1 << (row & 7);
        this.take(row, value);
    }

    /** Hands the values of the first `count` rows to DuckDB. */
    hand(vector: Vector, count: number): void {
        this.fill(vector, count);
        if (!this.#hasNull) return;
        duckdb.vector_ensure_validity_writable(vector);
        const byteCount = Math.ceil(count / 64) * 8;
        duckdb.copy_data_to_vector_validity(vector, 0, this.#bits.buffer as ArrayBuffer, 0, byteCount);
        this.#hasNull = false;
    }

    protected abstract take(row: number, value: Cell): void;
    protected abstract fill(vector: Vector, count: number): void;
}

function wrong(value: Cell, type: DuckDBType): never {
    throw new TypeError(`${JSON.stringify(value)} is no ${String(type)}`);
}

/** What DuckDB lays out as typed arrays do, of values of this kind. */
class PlainColumn extends Column {
    readonly #values: Numbers;
    readonly #kind: 'number' | 'boolean';
    readonly #laidOut: (value: number | boolean) => number | bigint;

    constructor(
        type: DuckDBType,
        values: Numbers,
        kind: 'number' | 'boolean' = 'number',
        laidOut: (value: number | boolean) => number | bigint = Number,
    ) {
        super(type);
        this.#values = values;
        this.#kind = kind;
        this.#laidOut = laidOut;
    }

    protected take(row: number, value: Cell): void {
        if (value === null) return;
        if (typeof value !== this.#kind) wrong(value, this.type);
        this.#values[row] = this.#laidOut(value as number | boolean);
    }

    protected fill(vector: Vector, count: number): void {
        copy(vector, this.#values, count * this.#values.BYTES_PER_ELEMENT);
    }
}

class TextColumn extends Column {
    readonly #values = new Array<string | null>(CHUNK_ROWS).fill(null);

    protected take(row: number, value: Cell): void {
        if (value !== null && typeof value !== 'string') wrong(value, this.type);
        this.#values[row] = value;
    }

    protected fill(vector: Vector, count: number): void {
        for (let row = 0; row < count; row++) {
            const value = this.#values[row]!;
            if (value !== null) duckdb.vector_assign_string_element(vector, row, value);
        }
    }
}

/** Lists of numbers, without a NULL in them. */
class ListColumn extends Column {
    /** By row, where its list begins and how many it has. */
    readonly #entries = new BigInt64Array(2 * CHUNK_ROWS);
    #items = new Float64Array(CHUNK_ROWS);
    #size = 0;

    protected take(row: number, value: Cell): void {
        const list = (value ?? []) as readonly number[];
        this.#entries[2 * row] = BigInt(this.#size);
        this.#entries[2 * row + 1] = BigInt(list.length);
        const size = this.#size + list.length;
        if (size > this.#items.length) {
            const more = new Float64Array(2 * size);
            more.set(this.#items);
            this.#items = more;
        }
        this.#items.set(list, this.#size);
        this.#size = size;
    }

    protected fill(vector: Vector, count: number): void {
        copy(vector, this.#entries, count * 2 * this.#entries.BYTES_PER_ELEMENT);
        duckdb.list_vector_reserve(vector, this.#size);
        duckdb.list_vector_set_size(vector, this.#size);
        copy(duckdb.list_vector_get_child(vector), this.#items, this.#size * this.#items.BYTES_PER_ELEMENT);
        this.#size = 0;
    }
}

const makers: Readonly<Record<string, () => Column>> = {
    VARCHAR: () => new TextColumn(VARCHAR),
    DOUBLE: () => new PlainColumn(DOUBLE, new Float64Array(CHUNK_ROWS)),
    INTEGER: () => new PlainColumn(INTEGER, new Int32Array(CHUNK_ROWS)),
    BIGINT: () => new PlainColumn(BIGINT, new BigInt64Array(CHUNK_ROWS), 'number', BigInt),
    BOOLEAN: () => new PlainColumn(BOOLEAN, new Uint8Array(CHUNK_ROWS), 'boolean'),
    // Microseconds, as epoch_us gives them.
    TIMESTAMP: () => new PlainColumn(TIMESTAMP, new BigInt64Array(CHUNK_ROWS), 'number', BigInt),
    'DOUBLE[]': () => new ListColumn(LIST(DOUBLE)),
};

/** Takes rows and makes chunks of them; the counterpart of {@link readChunk}. */
export class ChunkWriter {
    readonly #columns: readonly { name: string; column: Column }[];
    readonly #types: readonly DuckDBType[];
    #count = 0;

    /** Throws for an SQL type without a rule. */
    constructor(columns: readonly { name: string; type: string }[]) {
        this.#columns = columns.map(({ name, type }) => {
            const make = makers[type];
            if (make === undefined) throw new TypeError(`no rule to append SQL type ${type}`);
            return { name, column: make() };
        });
        this.#types = this.#columns.map(({ column }) => column.type);
    }

    get count(): number {
        return this.#count;
    }

    /** Takes one row more, up to {@link CHUNK_ROWS}. One without a column throws, and the first of a chunk with another one. */
    put(row: Readonly<Record<string, Cell>>): void {
        if (this.#count === 0) this.#requireKnown(row);
        for (const { name, column } of this.#columns) {
            const value = row[name];
            if (value === undefined) throw new Error(`a row has no ${name}`);
            column.put(this.#count, value);
        }
        this.#count++;
    }

    #requireKnown(row: Readonly<Record<string, Cell>>): void {
        const strange = Object.keys(row).find((key) => !this.#columns.some(({ name }) => name === key));
        if (strange !== undefined) throw new Error(`there is no column ${strange}`);
    }

    /** The rows taken since the last chunk. */
    chunk(): DuckDBDataChunk {
        const made = DuckDBDataChunk.create(this.#types, this.#count);
        for (const [index, { column }] of this.#columns.entries())
            column.hand(duckdb.data_chunk_get_vector(made.chunk, index), this.#count);
        this.#count = 0;
        return made;
    }
}
