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
    readonly #columns = new Map<string, unknown[]>();

    constructor(key: Readonly<Record<string, Value>>, names: readonly string[]) {
        this.key = key;
        for (const name of names) this.#columns.set(name, []);
    }

    add({ names, columns }: Batch, from: number, to: number): void {
        for (const [index, name] of names.entries()) {
            const values = this.#columns.get(name)!;
            const column = columns[index]!;
            for (let row = from; row < to; row++) values.push(orNull(column[row]));
        }
    }

    /** The rows of these numbers, in their order. */
    only(rows: readonly number[]): Group {
        const kept = new Group(this.key, []);
        for (const [name, values] of this.#columns)
            kept.#columns.set(
                name,
                rows.map((row) => values[row]),
            );
        return kept;
    }

    values(name: string): unknown[] {
        const found = this.#columns.get(name);
        if (found === undefined) throw new Error(`the query gives no column ${name}`);
        return found;
    }

    /** The rows one by one. */
    *rows(): Iterable<Row> {
        const names = [...this.#columns.keys()];
        const count = this.#columns.get(names[0]!)!.length;
        const blank = blankRow(names);
        for (let row = 0; row < count; row++) {
            const cells = { ...blank };
            for (const name of names) cells[name] = this.#columns.get(name)![row] as Value;
            yield cells;
        }
    }

    numbers(name: string): Float64Array {
        return Float64Array.from(this.values(name) as number[]);
    }

    /** The value that the first row has. */
    number(name: string): number {
        return this.values(name)[0] as number;
    }
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
        let from = 0;
        for (let row = 0; row < count; row++) {
            const same = keys.every((key, i) => group?.key[key] === keyColumns[i]![row]);
            if (same) continue;
            if (group !== undefined) {
                group.add(batch, from, row);
                yield group;
            }
            from = row;
            const key = Object.fromEntries(keys.map((name, i) => [name, keyColumns[i]![row] as Value]));
            group = new Group(key, batch.names);
        }
        group?.add(batch, from, count);
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
