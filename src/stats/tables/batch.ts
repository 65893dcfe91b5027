export type Value = string | number | boolean | null | readonly number[];

/** Some rows of a query, by column; in a typed array NaN is NULL. */
export interface Batch {
    names: readonly string[];
    columns: readonly ArrayLike<unknown>[];
}

/** A value of a batch, null for NaN. */
export const orNull = (value: unknown) => (Number.isNaN(value) ? null : value) as Value;

export type Row = Readonly<Record<string, Value>>;

/** The rows of a query; where they are put aside they may be read again, only some columns of them. */
export type Batches = AsyncIterable<Batch> & { only?(columns: readonly string[]): AsyncIterable<Batch> };

/**
 * Makes the rows of a table, by the names of its columns, one or several at a time, from the rows of a query and whole tables besides. What takes
 * long before the next row yields none in between, so that other connections get their next statement.
 */
export type TableFunction = (
    batches: Batches,
    whole: Readonly<Record<string, readonly Row[]>>,
) => AsyncIterable<Record<string, Value> | Record<string, Value>[]>;

/** Rows of a query that share their first columns. */
export class Group {
    /** The values of these columns, by their names. */
    readonly key: Readonly<Record<string, Value>>;
    readonly #pieces = new Map<string, ArrayLike<unknown>[]>();

    constructor(key: Readonly<Record<string, Value>>, names: readonly string[]) {
        this.key = key;
        for (const name of names) this.#pieces.set(name, []);
    }

    add({ names, columns }: Batch, from: number, to: number): void {
        for (const [index, name] of names.entries()) {
            const column = columns[index]!;
            const piece =
                column instanceof Float64Array
                    ? column.subarray(from, to)
                    : Array.prototype.slice.call(column, from, to);
            this.#pieces.get(name)!.push(piece);
        }
    }

    /** The rows of these numbers, in their order. */
    only(rows: readonly number[]): Group {
        const kept = new Group(this.key, []);
        for (const name of this.#pieces.keys()) {
            const values = this.values(name);
            kept.#pieces.set(name, [rows.map((row) => values[row])]);
        }
        return kept;
    }

    #piecesOf(name: string): ArrayLike<unknown>[] {
        const found = this.#pieces.get(name);
        if (found === undefined) throw new Error(`the query gives no column ${name}`);
        return found;
    }

    values(name: string): readonly unknown[] {
        const pieces = this.#piecesOf(name);
        if (pieces.length === 1 && Array.isArray(pieces[0])) return pieces[0];
        const values: unknown[] = [];
        for (const piece of pieces)
            for (let row = 0; row < piece.length; row++) values.push(orNull(piece[row]));
        // Once: they are asked again.
        this.#pieces.set(name, [values]);
        return values;
    }

    /** The rows one by one. */
    *rows(): Iterable<Row> {
        const columns = [...this.#pieces.keys()].map((name) => [name, this.values(name)] as const);
        const count = columns[0]![1].length;
        const blank = blankRow(columns.map(([name]) => name));
        for (let row = 0; row < count; row++) {
            const cells = { ...blank };
            for (const [name, values] of columns) cells[name] = values[row] as Value;
            yield cells;
        }
    }

    /** The same as numbers, NaN for NULL. */
    numbers(name: string): Float64Array {
        const pieces = this.#piecesOf(name);
        const numbers = new Float64Array(pieces.reduce((count, { length }) => count + length, 0));
        let from = 0;
        for (const piece of pieces) {
            numbers.set(
                piece instanceof Float64Array
                    ? piece
                    : Array.from(piece, (value) => (value ?? Number.NaN) as number),
                from,
            );
            from += piece.length;
        }
        return numbers;
    }

    /** The value that the first row has. */
    number(name: string): number {
        return this.#piecesOf(name)[0]![0] as number;
    }
}

/** The first row after `from` that has another key, or how many rows there are; those of one key stand together. */
function endOf(keyColumns: readonly ArrayLike<unknown>[], from: number, count: number): number {
    const isSame = (row: number) => row < count && keyColumns.every((column) => column[row] === column[from]);
    let [last, step] = [from, 1];
    for (; isSame(last + step); step *= 2) last += step;
    for (; step >= 1; step >>= 1) if (isSame(last + step)) last += step;
    return last + 1;
}

/** The rows of a query sorted by its columns `keys`, group by group. */
export async function* groupsBy(
    batches: AsyncIterable<Batch>,
    ...keys: readonly string[]
): AsyncIterable<Group> {
    let group: Group | undefined;
    for await (const batch of batches) {
        const keyColumns = keys.map((key) => batch.columns[batch.names.indexOf(key)]!);
        const count = batch.columns[0]?.length ?? 0;
        for (let from = 0; from < count; ) {
            if (group === undefined || !keys.every((key, i) => group!.key[key] === keyColumns[i]![from])) {
                if (group !== undefined) yield group;
                const key = Object.fromEntries(keys.map((name, i) => [name, keyColumns[i]![from] as Value]));
                group = new Group(key, batch.names);
            }
            const to = endOf(keyColumns, from, count);
            group.add(batch, from, to);
            from = to;
        }
    }
    if (group !== undefined) yield group;
}

/** A row to copy and fill: an object that grows by a name at a time takes V8 fifty times as long. */
const blankRow = (names: readonly string[]): Record<string, Value> =>
    Object.fromEntries(names.map((name) => [name, null]));

/** The rows of a batch one by one. */
export function* rowsIn({ names, columns }: Batch): Iterable<Record<string, Value>> {
    const blank = blankRow(names);
    const count = columns[0]?.length ?? 0;
    for (let row = 0; row < count; row++) {
        const cells = { ...blank };
        for (let i = 0; i < names.length; i++) cells[names[i]!] = orNull(columns[i]![row]);
        yield cells;
    }
}

/** The rows of a query one by one. */
export async function* rowsOf(batches: AsyncIterable<Batch>): AsyncIterable<Record<string, Value>> {
    for await (const batch of batches) yield* rowsIn(batch);
}
