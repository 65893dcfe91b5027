import {
    accessSync,
    closeSync,
    constants,
    existsSync,
    openSync,
    readSync,
    realpathSync,
    statSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import {
    type DuckDBConnection,
    type DuckDBDataChunk,
    DuckDBInstance,
    type DuckDBMaterializedResult,
    type DuckDBResult,
    type DuckDBType,
    version,
} from '@duckdb/node-api';
import type { z } from 'zod';
import { UserError } from '../errors/errors.js';
import {
    cannotMakeDatabase,
    databaseLocked,
    databaseReadOnly,
    databaseUnreadable,
    noDatabase,
    notADatabase,
} from '../errors/messages.js';
import { refusal, systemReason } from '../errors/systemReason.js';
import { asking } from './failedQuery.js';
import type { Patience } from './patience.js';
import { readChunk, readTyped } from './readChunk.js';
import type { Cell } from './values.js';
import { CHUNK_ROWS, ChunkWriter } from './writeChunk.js';

export interface OpenOptions {
    /** Database file, or `:memory:`. */
    file: string;
    /** `create` makes the file when it is missing; the others throw a {@link UserError}. */
    mode: 'create' | 'write' | 'read';
    /** Files and folders that SQL may read or write besides the database; resolved through links. */
    paths?: readonly string[];
    threads?: number | undefined;
    /** Stores what is made as it is, in a new file in small blocks: a small database is closed in less time. */
    isSmall?: boolean;
    /** Such as 2GB; default 80 % of the machine's. */
    memoryLimit?: string | undefined;
    /** How long to wait while another process holds the file; without it, not at all. */
    patience?: Patience | undefined;
    /** When it aborts, what runs is stopped, and whatever is asked later but `rollback` is not begun: both throw. */
    signal?: AbortSignal | undefined;
}

/** Version of DuckDB, such as v1.5.6. */
export const duckdbVersion = version();

export type Parameters = Readonly<Record<string, string | number | boolean | null>>;

/** `name` as a quoted SQL identifier. */
export function identifier(name: string): string {
    return `"${name.replaceAll('"', '""')}"`;
}

/** `value` as a quoted SQL string literal, for places where SQL takes no parameter. */
export function literal(value: string): string {
    return `'${value.replaceAll("'", "''")}'`;
}

function constant(value: Parameters[string]): string {
    // A literal ends at a zero.
    if (typeof value === 'string')
        return `cast(${literal(value).replaceAll('\0', "' || chr(0) || '")} as varchar)`;
    if (typeof value !== 'number') return String(value);
    if (!Number.isSafeInteger(value)) return `cast('${value}' as double)`;
    return `cast(${value} as ${Math.abs(value) <= 2_147_483_647 ? 'integer' : 'bigint'})`;
}

/** `sql` with constants for its parameters: DuckDB plans a query that has some twice, which takes longer than a small one itself. */
function writtenOut(sql: string, parameters: Parameters = {}): string {
    return sql.replace(/\$(\w+)/g, (text, name) =>
        Object.hasOwn(parameters, name) ? constant(parameters[name]!) : text,
    );
}

function realPath(path: string): string {
    if (existsSync(path)) return realpathSync(path);
    return join(realpathSync(dirname(resolve(path))), path.split('/').pop()!);
}

/** One opened database with locked settings: the only way to SQL. */
export class Database {
    readonly file: string;
    readonly #instance: DuckDBInstance;
    readonly #connection: DuckDBConnection;
    readonly #signal: AbortSignal | undefined;
    readonly #interrupt = () => this.#connection.interrupt();
    #beside: Database | undefined;
    /** What this connection reads is not all in the database: one beside it would not see the same rows. */
    readsAlone = false;

    private constructor(
        file: string,
        instance: DuckDBInstance,
        connection: DuckDBConnection,
        signal: AbortSignal | undefined,
    ) {
        this.file = file;
        this.#signal = signal;
        this.#instance = instance;
        this.#connection = connection;
        signal?.addEventListener('abort', this.#interrupt);
    }

    /** The other connection to the same database: it sees what this one has committed, none of its temporary tables. Closed with this one. */
    async beside(): Promise<Database> {
        this.#beside ??= new Database(
            this.file,
            this.#instance,
            await this.#instance.connect(),
            this.#signal,
        );
        return this.#beside;
    }

    async #ask<T>(sql: string, work: () => Promise<T>): Promise<T> {
        if (sql === ROLLBACK) return asking(sql, work);
        this.#signal?.throwIfAborted();
        if (sql === COMMIT) return this.#uninterrupted(() => asking(sql, work));
        let again: NodeJS.Timeout | undefined;
        // DuckDB forgets what interrupts it before it has begun.
        const interruptAgain = () => {
            again = setInterval(this.#interrupt, INTERRUPT_MS);
        };
        this.#signal?.addEventListener('abort', interruptAgain);
        try {
            return await asking(sql, work);
        } finally {
            this.#signal?.removeEventListener('abort', interruptAgain);
            clearInterval(again);
        }
    }

    /**
     * Opens `file` with access to the outside limited to `paths`, extensions off and settings locked.
     * Throws a {@link UserError} when the file is missing, locked by another process or not a database.
     */
    static async open(options: OpenOptions): Promise<Database> {
        const memory = options.file === ':memory:';
        if (!memory && options.mode !== 'create' && !existsSync(options.file)) {
            throw new UserError(noDatabase(options.file), 'no_database');
        }
        if (!memory) requireRights(options);
        const instance = await openInstance(options);
        const connection = await instance.connect();
        const directories = (options.paths ?? []).map((path) => literal(realPath(path)));
        const spill = memory ? null : `${resolve(options.file)}.tmp`;
        const settings = [
            `set allowed_directories = [${directories.join(', ')}]`,
            ...(spill === null ? [] : [`set temp_directory = ${literal(spill)}`]),
            ...(options.isSmall ? ["set force_compression = 'uncompressed'"] : []),
            "set global TimeZone = 'UTC'",
            // It compares all rows with all where it expects few, and is wrong about tables made within a transaction.
            'set asof_loop_join_threshold = 0',
            'set enable_progress_bar = true',
            'set enable_progress_bar_print = false',
            'set enable_external_access = false',
            'set lock_configuration = true',
        ];
        await connection.run(settings.join(';'));
        return new Database(options.file, instance, connection, options.signal);
    }

    /** The raw connection, for appenders, chunk streams and progress inside `src/db` and `src/load` only. */
    get connection(): DuckDBConnection {
        return this.#connection;
    }

    /** DuckDB would say that a commit was interrupted which it has made. */
    async #uninterrupted<T>(work: () => Promise<T>): Promise<T> {
        this.#signal?.removeEventListener('abort', this.#interrupt);
        try {
            return await work();
        } finally {
            this.#signal?.addEventListener('abort', this.#interrupt);
        }
    }

    #result(sql: string, parameters?: Parameters): Promise<DuckDBResult> {
        return this.#ask(sql, () => this.#connection.run(writtenOut(sql, parameters)));
    }

    /** Runs one or more statements; parameters (`$name`) only with a single one. */
    async run(sql: string, parameters?: Parameters): Promise<void> {
        await this.#result(sql, parameters);
    }

    /** Whether there is all that a query names; costs less than a look into DuckDB's lists of all there is. */
    async binds(sql: string): Promise<boolean> {
        try {
            await this.run(sql);
            return true;
        } catch (error) {
            if (/^(Catalog|Binder) Error/.test(messageOf(error))) return false;
            throw error;
        }
    }

    /** Whether there is a table or view `name` with these columns. */
    holds(name: string, columns: readonly string[]): Promise<boolean> {
        return this.binds(`select ${columns.map(identifier).join(', ')} from ${identifier(name)} limit 0`);
    }

    /** Names and SQL types of the columns of a query. */
    async columns(sql: string): Promise<{ name: string; type: string }[]> {
        const result = await this.#result(sql);
        const types = result.columnTypes();
        return result.columnNames().map((name, i) => ({ name, type: String(types[i]) }));
    }

    /** All rows of a query as plain objects, unchecked. */
    async cells(sql: string, parameters?: Parameters): Promise<Record<string, Cell>[]> {
        const result = await this.#result(sql, parameters);
        const rows: Record<string, Cell>[] = [];
        for await (const { names, columns } of columnsOf(result, readChunk)) {
            // Copied: an object that grows by a name at a time takes V8 fifty times as long.
            const blank: Record<string, Cell> = Object.fromEntries(names.map((name) => [name, null]));
            for (let row = 0; row < columns[0]!.length; row++) {
                const cells = { ...blank };
                for (let i = 0; i < names.length; i++) cells[names[i]!] = columns[i]![row]!;
                rows.push(cells);
            }
        }
        return rows;
    }

    /** The rows of a query as they come, by column, unchecked. No other statement may run before the last one. */
    async *batches(sql: string): AsyncIterable<Columns> {
        yield* columnsOf(await this.#ask(sql, () => this.#connection.stream(sql)), readChunk);
    }

    /** The same, numbers in typed arrays, NaN where they are null. */
    async *numbers(sql: string): AsyncIterable<Columns<ArrayLike<Cell>>> {
        yield* columnsOf(await this.#ask(sql, () => this.#connection.stream(sql)), readTyped);
    }

    /** The same rows, put aside until `release`, so that other statements may run between the batches and they, or `only` some columns, may be read again. */
    async aside(sql: string): Promise<Aside> {
        await this.run(`create or replace temp table put_aside as ${sql}`);
        return {
            [Symbol.asyncIterator]: () => this.#pieces('*'),
            only: (columns) => this.#pieces(columns.map(identifier).join(', ')),
            release: () => this.run('drop table temp.put_aside'),
        };
    }

    /** DuckDB makes the next piece while one is read. */
    async *#pieces(columns: string): AsyncGenerator<Columns<ArrayLike<Cell>>> {
        const pieceFrom = (row: number) => {
            const piece = this.#connection.run(
                `select ${columns} from temp.put_aside limit ${PIECE_ROWS} offset ${row}`,
            );
            // Heard where it is awaited.
            piece.catch(() => undefined);
            return piece;
        };
        let next: Promise<DuckDBMaterializedResult> | null = pieceFrom(0);
        try {
            for (let from = PIECE_ROWS; next !== null; from += PIECE_ROWS) {
                const piece: DuckDBMaterializedResult = await next;
                next = piece.rowCount < PIECE_ROWS ? null : pieceFrom(from);
                yield* columnsOf(piece, readTyped);
            }
        } finally {
            await next?.catch(() => undefined);
        }
    }

    /** Appends `rows` as they come to `table`, in `columns`. A row without one of them, with another one, or a type without a rule, is a bug and throws. */
    async append(
        table: string,
        columns: readonly { name: string; type: string }[],
        rows: AsyncIterable<Appended> | Iterable<Appended>,
        temporary = false,
    ): Promise<void> {
        const appender = await (temporary
            ? this.#connection.createAppender(table, 'main', 'temp')
            : this.#connection.createAppender(table));
        const writer = new ChunkWriter(columns);
        const add = (row: Record<string, Cell>) => {
            writer.put(row);
            if (writer.count === CHUNK_ROWS) appender.appendDataChunk(writer.chunk());
        };
        for await (const one of rows) {
            if (Array.isArray(one)) one.forEach(add);
            else add(one as Record<string, Cell>);
        }
        if (writer.count > 0) appender.appendDataChunk(writer.chunk());
        appender.closeSync();
    }

    /** All rows of a query, each checked by `schema`; a row that does not fit is a bug and throws. */
    async rows<T extends z.ZodType>(schema: T, sql: string, parameters?: Parameters): Promise<z.infer<T>[]> {
        const rows = await this.cells(sql, parameters);
        return asking(sql, async () => rows.map((row) => schema.parse(row)));
    }

    /** Runs `work` in one transaction: committed when it returns, rolled back when it throws. */
    async transaction<T>(work: () => Promise<T>): Promise<T> {
        await this.run('begin transaction');
        try {
            const value = await work();
            await this.run(COMMIT);
            return value;
        } catch (error) {
            await this.run(ROLLBACK).catch(() => undefined);
            throw error;
        }
    }

    close(): void {
        if (this.#beside !== undefined) this.#beside.#disconnect();
        this.#disconnect();
        this.#instance.closeSync();
    }

    #disconnect(): void {
        this.#signal?.removeEventListener('abort', this.#interrupt);
        this.#connection.closeSync();
    }
}

/** A row, or some. */
export type Appended = Record<string, Cell> | readonly Record<string, Cell>[];

/** Some rows of a query. */
interface Columns<Column = Cell[]> {
    names: string[];
    columns: Column[];
}

/** See {@link Database.aside}. */
interface Aside extends AsyncIterable<Columns<ArrayLike<Cell>>> {
    only(columns: readonly string[]): AsyncIterable<Columns<ArrayLike<Cell>>>;
    release(): Promise<void>;
}

async function* columnsOf<Column>(
    result: DuckDBResult,
    read: (chunk: DuckDBDataChunk, types: readonly DuckDBType[]) => Column[],
): AsyncIterable<Columns<Column>> {
    const names = result.deduplicatedColumnNames();
    const types = result.columnTypes();
    for (;;) {
        const chunk = await result.fetchChunk();
        if (chunk === null || chunk.rowCount === 0) return;
        yield { names, columns: read(chunk, types) };
    }
}

const ROLLBACK = 'rollback';
const COMMIT = 'commit';
const INTERRUPT_MS = 20;

/** Rows of a query in memory at once, and as many in DuckDB. */
const PIECE_ROWS = 61_440;

async function createInstance({
    file,
    mode,
    threads,
    isSmall,
    memoryLimit,
}: OpenOptions): Promise<DuckDBInstance> {
    const memory = file === ':memory:';
    // A full path: names such as md:x or sqlite:x would mean other databases to DuckDB.
    return DuckDBInstance.create(memory ? ':memory:' : resolve(file), {
        access_mode: mode === 'read' && !memory ? 'READ_ONLY' : 'AUTOMATIC',
        autoinstall_known_extensions: 'false',
        autoload_known_extensions: 'false',
        allow_community_extensions: 'false',
        preserve_insertion_order: 'true',
        // Written once, at the end.
        checkpoint_threshold: '1GB',
        // Of a new file. Statistics of columns as versions before it read them take half of the time to open a database.
        storage_compatibility_version: 'v1.2.0',
        ...(isSmall ? { default_block_size: '16384' } : {}),
        ...(threads === undefined ? {} : { threads: String(threads) }),
        ...(memoryLimit === undefined ? {} : { memory_limit: memoryLimit }),
    });
}

/** Opens the file, again and again while another process holds it and `patience` lasts. */
async function openInstance(options: OpenOptions): Promise<DuckDBInstance> {
    const { file, patience } = options;
    for (;;) {
        try {
            if (file !== ':memory:') requireDatabase(file);
            return await createInstance(options);
        } catch (error) {
            const owner = lockOwner(error);
            if (owner === undefined) throw openError(file, error);
            if (await patience?.again(file, owner)) continue;
            throw new UserError(databaseLocked(file, owner, patience?.waitedSeconds ?? 0), 'database_locked');
        }
    }
}

/** Says before any work what the operating system will not allow: DuckDB finds out about its log when it is to write there. */
function requireRights({ file, mode }: OpenOptions): void {
    const message = !existsSync(file)
        ? cannotMakeDatabase
        : mode === 'read'
          ? databaseUnreadable
          : databaseReadOnly;
    try {
        if (existsSync(file))
            accessSync(file, mode === 'read' ? constants.R_OK : constants.R_OK | constants.W_OK);
        if (mode !== 'read') accessSync(dirname(resolve(file)), constants.W_OK);
    } catch (error) {
        throw new UserError(message(file, systemReason(error)));
    }
}

/** DuckDB would open a CSV, JSON or Parquet file as a database in memory that is lost at the end. */
function requireDatabase(file: string): void {
    if (resolve(file).includes('?'))
        throw new UserError(
            notADatabase(file, 'a ? in its path is taken for the start of options'),
            'not_a_database',
        );
    if (!existsSync(file)) return;
    // A pipe would never answer.
    if (!statSync(file).isFile())
        throw new UserError(notADatabase(file, 'it is a folder, pipe or device'), 'not_a_database');
    const head = Buffer.alloc(12);
    const handle = openSync(file, 'r');
    try {
        readSync(handle, head);
    } finally {
        closeSync(handle);
    }
    if (head.toString('latin1', 8) !== 'DUCK') {
        throw new UserError(notADatabase(file, 'it is another kind of file'), 'not_a_database');
    }
}

const messageOf = (error: unknown) => (error instanceof Error ? error.message : String(error));

/** Which process holds the file, where that is why it could not be opened: `PID n`, null when it is not said. */
function lockOwner(error: unknown): string | null | undefined {
    const text = messageOf(error);
    return /Could not set lock/i.test(text) ? (/PID \d+/.exec(text)?.[0] ?? null) : undefined;
}

function openError(file: string, error: unknown): Error {
    if (error instanceof UserError) return error;
    const text = messageOf(error);
    const refused = refusal(error);
    if (refused !== null) {
        const message = existsSync(file) ? databaseReadOnly : cannotMakeDatabase;
        return new UserError(message(file, refused.reason));
    }
    if (/not a valid DuckDB database|IO Error|Serialization Error|directory|permission denied/i.test(text)) {
        return new UserError(
            notADatabase(file, text.split('\n')[0]!.replace(/^[A-Za-z ]*Error: /, '')),
            'not_a_database',
        );
    }
    return error instanceof Error ? error : new Error(text);
}
