import { z } from 'zod';
import { readings } from '../../contracts/readings.js';
import type { Column } from '../../contracts/table.js';
import { type Database, identifier, literal } from '../../db/database.js';
import { sqlType } from '../../db/schema.js';
import { storedTable } from '../../db/storedTable.js';
import { UserError } from '../../errors/errors.js';
import {
    folderColumns,
    folderMixed,
    folderRows,
    folderTwice,
    folderUnfit,
    notParquet,
} from '../../errors/folderMessages.js';
import { rowChecks, validRow } from '../checks.js';
import { keyCells, keyHash } from '../keySql.js';
import type { ParquetFiles } from './parquetFiles.js';

/** Columns that a file may have besides those of the contract, and that are not read. */
const origin = ['source_file', 'source_line', 'load_id'];
/** Faults that a message shows. */
const SHOWN = 5;

const described = z.object({ column_name: z.string(), column_type: z.string() });
const fileColumn = z.object({ file_name: z.string(), name: z.string() });
const fault = z.object({ file: z.string(), row: z.int(), column: z.string(), reason: z.string() });

const isPartitioned = (files: readonly string[]) => files.some((file) => pathColumns(file).length > 0);

function source(files: readonly string[]): string {
    return `read_parquet([${files.map(literal).join(', ')}], union_by_name = true, hive_partitioning = ${isPartitioned(files)},
        hive_types_autocast = false, filename = 'parquet_file', file_row_number = true)`;
}

/** `month=2025-03/chassis=NEWT` has month and chassis. */
function folderNames(file: string): string[] {
    return file.split('/').flatMap((segment) => /^([^=]+)=/.exec(segment)?.[1] ?? []);
}

/** `month=2025-03/chassis=NEWT` gives its files the column chassis; the contract knows no month. */
function pathColumns(file: string): string[] {
    const known = readings.names;
    return folderNames(file).filter((name) => known.includes(name));
}

/** Throws a {@link UserError} unless every file is Parquet with the columns of the contract. */
async function requireColumns(db: Database, { files }: ParquetFiles): Promise<void> {
    const required = readings.columns.filter((column) => column.required).map(({ name }) => name);
    const known = [...readings.names, ...origin];
    const [first] = files;
    for (const file of files) {
        if (isPartitioned(files) && folderNames(file).sort().join() !== folderNames(first!).sort().join()) {
            throw new UserError(folderMixed(first!, file));
        }
        const found = await db
            .rows(
                fileColumn,
                `select file_name, name from parquet_schema(${literal(file)}) where num_children is null`,
            )
            .catch((error: Error) => {
                throw new UserError(notParquet(file, error.message.split('\n')[0]!));
            });
        const names = [...found.map(({ name }) => name), ...pathColumns(file)];
        const unknown = found.map(({ name }) => name).filter((name) => !known.includes(name));
        const missing = required.filter((name) => !names.includes(name));
        if (unknown.length > 0 || missing.length > 0) {
            throw new UserError(folderColumns(file, unknown, missing));
        }
    }
}

/** A column of the files as the text that a CSV cell would hold, blank = null. */
function asText(name: string, type: string): string {
    const cell = identifier(name);
    if (type === 'TIMESTAMP WITH TIME ZONE') return `strftime(${cell}, '%Y-%m-%dT%H:%M:%SZ')`;
    if (type.startsWith('TIMESTAMP')) return `strftime(${cell}, '%Y-%m-%dT%H:%M:%S')`;
    if (type === 'VARCHAR') return `nullif(trim(${cell}), '')`;
    return `cast(${cell} as varchar)`;
}

function typed(column: Column, types: ReadonlyMap<string, string>): string {
    const type = types.get(column.name);
    if (type === undefined) return `cast(null as ${sqlType(column)})`;
    const text = asText(column.name, type);
    return sqlType(column) === 'varchar' ? text : `try_cast(${text} as ${sqlType(column)})`;
}

/** Readings that stay in Parquet files and are read where they are. */
export class FolderReadings {
    readonly #files: ParquetFiles;
    #types: ReadonlyMap<string, string> = new Map();

    constructor(files: ParquetFiles) {
        this.#files = files;
    }

    /** Folder that the database must have access to. */
    get folder(): string {
        return this.#files.folder;
    }

    /** Changes with the files. */
    get state(): string {
        return this.#files.state;
    }

    /**
     * Makes `readings` on this connection the stored readings and those of the files: a temporary view, the row number in the file
     * as its line. Throws a {@link UserError} when a file is not Parquet or has other columns than the contract.
     */
    async attach(db: Database): Promise<void> {
        await requireColumns(db, this.#files);
        db.readsAlone = true;
        const from = source(this.#files.files);
        const columns = await db.rows(
            described,
            `select column_name, column_type from (describe select * from ${from})`,
        );
        this.#types = new Map(columns.map((column) => [column.column_name, column.column_type]));
        const cells = readings.columns.map(
            (column) => `${typed(column, this.#types)} as ${identifier(column.name)}`,
        );
        await db.run(
            `create or replace temp view readings as
            select * from ${await storedTable(db, 'readings')}
            union all
            select ${cells.join(', ')}, ${this.#file()} as source_file, cast(file_row_number + 1 as integer) as source_line, cast(null as integer) as load_id from ${from}`,
        );
    }

    /** SQL for the name of a file as the user would write it. */
    #file(): string {
        const { name, folder } = this.#files;
        return `${literal(name)} || substr(parquet_file, ${[...folder].length + 1})`;
    }

    /**
     * Checks every row of the files against the contract, and that no reading is there twice, in them or in the database. Throws a
     * {@link UserError} that names file, row, column and fault. {@link attach} comes first.
     */
    async verify(db: Database): Promise<void> {
        try {
            await this.#requireValid(db);
            await this.#requireUnique(db);
        } catch (error) {
            const [line] = (error as Error).message.split('\n');
            if (!/^[\w ]*Error: .*reading file/.test(line!)) throw error;
            throw new UserError(folderUnfit(this.#files.name, line!));
        }
    }

    async #requireValid(db: Database): Promise<void> {
        const names = readings.names.filter((name) => this.#types.has(name));
        const checks = rowChecks(readings, names);
        const texts = names.map((name) => `${asText(name, this.#types.get(name)!)} as ${identifier(name)}`);
        const faults = checks.map(
            ({ column, holds, reason }) =>
                `when not (${holds}) then {'column': ${literal(column)}, 'reason': ${reason}}`,
        );
        await db.run(
            `create or replace temp table folder_faults as
            with texts as (
                select parquet_file, file_row_number, ${texts.join(', ')} from ${source(this.#files.files)}
            )
            select ${this.#file()} as file, file_row_number + 1 as row, unnest(case ${faults.join('\n')} end)
            from texts
            where not (${validRow(checks)})`,
        );
        await this.#requireNone(db, folderRows);
    }

    async #requireUnique(db: Database): Promise<void> {
        await db.run(
            `create or replace temp table folder_faults as
            with
            twice as (select ${keyHash(readings)} as key_hash from readings group by key_hash having count(*) > 1),
            suspects as (select *, ${keyHash(readings)} as key_hash from readings where ${keyHash(readings)} in (from twice))
            select
                source_file as file,
                source_line as row,
                '' as "column",
                concat_ws(' ', vehicle, corner, 'visit', visit, phase, 'repeat', coalesce(repeat, 1)) as reason
            from suspects
            qualify row_number() over (partition by ${keyCells(readings).join(', ')} order by load_id nulls last, source_file, source_line) > 1`,
        );
        await this.#requireNone(db, folderTwice);
    }

    async #requireNone(db: Database, message: typeof folderRows): Promise<void> {
        const [count] = await db.rows(z.object({ n: z.int() }), 'select count(*) as n from folder_faults');
        const shown = await db.rows(fault, `select * from folder_faults order by file, row limit ${SHOWN}`);
        await db.run('drop table folder_faults');
        if (count!.n > 0) throw new UserError(message(shown, count!.n));
    }
}
