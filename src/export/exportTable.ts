import { existsSync, lstatSync, mkdtempSync, renameSync } from 'node:fs';
import { dirname, extname, join, resolve } from 'node:path';
import { z } from 'zod';
import { type Database, identifier, literal } from '../db/database.js';
import { placeFile } from '../db/placeFile.js';
import { UsageError, UserError } from '../errors/errors.js';
import { cannotWrite, exportExists, noMonths, unknownExportFormat, unknownName } from '../errors/messages.js';
import { writing } from '../errors/writing.js';

export const exportFormats = ['csv', 'parquet', 'arrow', 'json'] as const;
type ExportFormat = (typeof exportFormats)[number];

/** What is written of a column of a table. */
interface ColumnText {
    name: string;
    description: string | null;
    unit: string | null;
}

/** A column of a table with what is written of it, or its comment says. */
export interface ExportColumn extends ColumnText {
    type: string;
}

/** Format that the ending of `file` names; throws a {@link UsageError} for any other. */
export function exportFormat(file: string): ExportFormat {
    const ending = extname(file).slice(1).toLowerCase();
    const format = exportFormats.find((known) => known === ending);
    if (format === undefined) throw new UsageError(unknownExportFormat(file, exportFormats));
    return format;
}

const columnRow = z.object({ name: z.string(), type: z.string(), comment: z.string().nullable() });

/** Columns of `table` in order; throws a {@link UserError} that lists the tables when there is none of that name. */
async function exportColumns(
    db: Database,
    table: string,
    texts: readonly ColumnText[] = [],
): Promise<ExportColumn[]> {
    const columns = await db.rows(
        columnRow,
        `select column_name as name, data_type as type, comment from duckdb_columns()
        where schema_name = 'main' and not internal and table_name = $table order by column_index`,
        { table },
    );
    if (columns.length === 0) {
        const known = await db.cells(
            "select distinct table_name as name from duckdb_columns() where schema_name = 'main' and not internal order by 1",
        );
        throw new UserError(
            unknownName(
                'table',
                table,
                known.map((row) => String(row.name)),
            ),
            'unknown_name',
        );
    }
    return columns.map(({ name, type, comment }) => {
        const text = texts.find((one) => one.name === name);
        if (text !== undefined) return { name, type, unit: text.unit, description: text.description };
        const unit = comment === null ? null : (/ \[([^\]]+)\]$/.exec(comment)?.[1] ?? null);
        return { name, type, unit, description: comment?.replace(/ \[[^\]]+\]$/, '') ?? null };
    });
}

/** Whether a column goes into a flat file as JSON text. */
export const isNested = (type: string) =>
    type.endsWith('[]') || type.startsWith('STRUCT') || type.startsWith('MAP');

/** One column for a flat file: nested values as JSON text. */
function flat(column: ExportColumn): string {
    const name = identifier(column.name);
    return isNested(column.type) ? `cast(to_json(${name}) as varchar) as ${name}` : name;
}

/**
 * Text that a spreadsheet would run (beginning with = + - @, a tab or a carriage return) gets an apostrophe in front, and
 * so does text that begins with apostrophes and then one of these: taking one apostrophe off such text restores it.
 */
function spreadsheetSafe(column: ExportColumn): string {
    const name = identifier(column.name);
    if (column.type !== 'VARCHAR') return flat(column);
    return `case when regexp_matches(${name}, '^''*[=+@\\t\\r-]') then '''' || ${name} else ${name} end as ${name}`;
}

/** The whole of `table` in the order of its columns, so that the same content gives the same file. */
function exportQuery(table: string, columns: readonly ExportColumn[], format: ExportFormat): string {
    const list = columns.map((column) =>
        format === 'csv'
            ? spreadsheetSafe(column)
            : format === 'arrow'
              ? flat(column)
              : identifier(column.name),
    );
    return `select ${list.join(', ')} from ${identifier(table)} order by ${columns.map((_, index) => index + 1).join(', ')}`;
}

const copyOptions: Record<Exclude<ExportFormat, 'arrow'>, string> = {
    csv: 'format csv, header true',
    parquet: 'format parquet, compression zstd',
    json: 'format json, array true',
};

/**
 * Writes the rows of `table`, which must have the column measured_at, as Parquet files by month into the new folder `folder`:
 * `month=2025-03/data_0.parquet`. Returns the number of rows. `staging` as for {@link exportTable}.
 */
export async function exportMonths(
    db: Database,
    table: string,
    folder: string,
    staging: string,
): Promise<number> {
    const columns = await exportColumns(db, table);
    if (!columns.some(({ name }) => name === 'measured_at')) throw new UsageError(noMonths(table));
    if (existsSync(folder)) throw new UserError(cannotWrite(folder, 'it is there already'), 'cannot_write');
    const order = columns.map((_, index) => index + 1).join(', ');
    const part = join(staging, 'part');
    await db.run(
        `copy (select *, left(measured_at, 7) as month from ${identifier(table)} order by ${order})
        to ${literal(part)} (format parquet, compression zstd, partition_by (month))`,
    );
    renameSync(part, folder);
    return countRows(db, table);
}

/** Throws a {@link UserError} where something has the name `file`, be it a link that leads nowhere. */
export function requireFree(file: string): void {
    if (lstatSync(file, { throwIfNoEntry: false }) !== undefined)
        throw new UserError(exportExists(file), 'cannot_write');
}

/** Folder beside `file` that only this export writes to: the file appears under its name when it is whole. */
export const stagingFolder = (file: string): string =>
    writing(file, () => mkdtempSync(join(dirname(resolve(file)), '.strutmark-')));

/**
 * Writes `table` to `file` in the format that its ending names and returns the number of rows. `db` must have been
 * opened with access to `staging`, made by {@link stagingFolder} and removed by the caller. `texts`: what is written of the columns of a
 * table without comments. Throws a {@link UserError} where `file` is there already, unless it is to be replaced.
 */
export async function exportTable(
    db: Database,
    table: string,
    file: string,
    staging: string,
    {
        overwrite = false,
        texts,
    }: { overwrite?: boolean | undefined; texts?: readonly ColumnText[] | undefined },
): Promise<number> {
    const format = exportFormat(file);
    if (!overwrite) requireFree(file);
    const columns = await exportColumns(db, table, texts);
    const query = exportQuery(table, columns, format);
    const part = join(staging, `part.${format}`);
    if (format === 'arrow') {
        const { writeArrow } = await import('./arrow.js');
        await writeArrow(db, query, columns, part);
    } else {
        await db.run(`copy (${query}) to ${literal(part)} (${copyOptions[format]})`);
    }
    if (overwrite) renameSync(part, file);
    else if (!placeFile(part, file)) requireFree(file);
    return countRows(db, table);
}

async function countRows(db: Database, table: string): Promise<number> {
    const [row] = await db.rows(
        z.object({ count: z.int() }),
        `select count(*) as count from ${identifier(table)}`,
    );
    return row!.count;
}
