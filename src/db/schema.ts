import type { Column, ColumnType, TableContract } from '../contracts/table.js';
import { tables } from '../contracts/tables.js';
import { type Database, identifier, literal } from './database.js';
import { SCHEMA_VERSION } from './migrations.js';
import { META, schemaVersion } from './schemaVersion.js';

const sqlTypes: Record<ColumnType, string> = {
    text: 'varchar',
    choice: 'varchar',
    datetime: 'varchar',
    number: 'double',
    integer: 'integer',
};

export function sqlType(column: Column): string {
    return sqlTypes[column.type];
}

export function historyTable(kind: string): string {
    return `${kind}_history`;
}

export function voidedTable(kind: string): string {
    return `${kind}_voided`;
}

interface TableDefinition {
    name: string;
    description: string;
    /** name, SQL type, description */
    columns: [string, string, string][];
    /** Columns that a database made before them is given: those of the contract that may be blank. */
    mayBeAdded: ReadonlySet<string>;
}

/** What a stored row has besides the columns of its contract. */
const originColumns: TableDefinition['columns'] = [
    ['source_file', 'varchar', 'file that the row came from, as it was named'],
    ['source_line', 'integer', 'physical line of that file on which the row begins'],
    ['load_id', 'integer', 'load that took the row, see loads'],
];

const historyColumns: TableDefinition['columns'] = [
    ['superseded_by', 'integer', 'load whose row took the place, see loads'],
];

const voidedColumns: TableDefinition['columns'] = [
    ['voiding_id', 'integer', 'voiding that took the row out, see voidings'],
    ['with_file', 'boolean', 'the file was voided as a whole: another file may bring the same row'],
    ['brought_back_at', 'timestamp', 'when the row was brought back, UTC; null = it is voided still'],
    ['brought_back_by', 'varchar', 'who brought it back'],
];

/** Names of the columns of input tables, their history and their voided rows that are not those of a contract. */
export const bookkeeping = {
    origin: originColumns.map(([name]) => name),
    later: [...historyColumns, ...voidedColumns].map(([name]) => name),
};

function inputColumns(contract: TableContract): TableDefinition['columns'] {
    const columns = contract.columns.map((column): [string, string, string] => {
        const unit = column.unit === null ? '' : ` [${column.unit}]`;
        return [column.name, sqlType(column), `${column.description}${unit}`];
    });
    return [...columns, ...originColumns];
}

function optionalColumns(contract: TableContract): ReadonlySet<string> {
    return new Set(contract.columns.filter(({ required }) => !required).map(({ name }) => name));
}

const inputTables = tables.flatMap((contract): TableDefinition[] => [
    {
        name: contract.kind,
        mayBeAdded: optionalColumns(contract),
        description: `${contract.title}; ${contract.grain}; key ${contract.key.join(', ')}`,
        columns: inputColumns(contract),
    },
    {
        name: historyTable(contract.kind),
        mayBeAdded: optionalColumns(contract),
        description: `${contract.title}: rows that a later load replaced`,
        columns: [...inputColumns(contract), ...historyColumns],
    },
    {
        name: voidedTable(contract.kind),
        mayBeAdded: optionalColumns(contract),
        description: `${contract.title}: rows that were voided`,
        columns: [...inputColumns(contract), ...voidedColumns],
    },
]);

const loads: TableDefinition = {
    name: 'loads',
    mayBeAdded: new Set(),
    description: 'One row per file taken; read_count = loaded_count + duplicate_count + rejected_count',
    columns: [
        ['load_id', 'integer', '1, 2, ... in the order of loading'],
        ['file', 'varchar', 'file as it was named'],
        ['path', 'varchar', 'the same file without links and relative parts'],
        ['kind', 'varchar', 'kind of file'],
        ['byte_count', 'bigint', 'size of the file [byte]'],
        ['sha256', 'varchar', 'SHA-256 of the bytes of the file, hexadecimal'],
        ['checks', 'varchar', 'SHA-256 of the checks that the rows went through, hexadecimal'],
        ['header', 'varchar', 'header row as it stood in the file'],
        ['loaded_at', 'timestamp', 'when, UTC'],
        ['read_count', 'integer', 'data rows read'],
        ['loaded_count', 'integer', 'rows taken, replacing ones included'],
        ['duplicate_count', 'integer', 'rows already there with the same content'],
        ['rejected_count', 'integer', 'rows set aside, see rejects'],
        ['replaced_count', 'integer', 'of the loaded rows, those that superseded an earlier row'],
        ['map', 'varchar', 'file of the import map, as it was named; null = none'],
        ['source_row_count', 'integer', 'with a map: rows of the file, of which it made the rows read'],
        ['dropped_row_count', 'integer', 'with a map: of those, the rows that it drops'],
    ],
};

const rejects: TableDefinition = {
    name: 'rejects',
    mayBeAdded: new Set(),
    description: 'Rows that were set aside; cleared_by is null while a row waits to be mended',
    columns: [
        ['load_id', 'integer', 'load that set the row aside, see loads'],
        ['file', 'varchar', 'file as it was named'],
        ['kind', 'varchar', 'kind of file'],
        ['line', 'integer', 'physical line of the file on which the row begins'],
        ['column_name', 'varchar', 'column at fault; null = the row as a whole'],
        ['reason', 'varchar', 'what is wrong and how to mend it'],
        ['text', 'varchar', 'the row as it stood in the file, without its line end'],
        ['bytes', 'blob', 'the same as bytes, only where they are not UTF-8 text'],
        ['written_to', 'varchar', 'file to which the row was last written for mending'],
        ['cleared_by', 'integer', 'load of the same file, or of the mended one, that took its place'],
    ],
};

const voidings: TableDefinition = {
    name: 'voidings',
    mayBeAdded: new Set(),
    description:
        'One row per forget, or load with --instead-of, that took rows out; they are in the tables ..._voided',
    columns: [
        ['voiding_id', 'integer', '1, 2, ... in the order of voiding'],
        ['asked', 'varchar', 'what was to be voided, as it was named'],
        ['voided_at', 'timestamp', 'when, UTC'],
        ['voided_by', 'varchar', 'who took the rows out'],
        ['because', 'varchar', 'why'],
        ['row_count', 'integer', 'rows taken out'],
    ],
};

const meta: TableDefinition = {
    name: META,
    mayBeAdded: new Set(),
    description: 'What this database is',
    columns: [
        ['name', 'varchar', 'schema_version'],
        ['value', 'varchar', 'its value'],
    ],
};

/** Every table that `load` fills or keeps its books in. */
export const tableDefinitions: readonly TableDefinition[] = [...inputTables, loads, rejects, voidings, meta];

function creation({ name, columns }: TableDefinition): string {
    const list = columns.map(([column, type]) => `${identifier(column)} ${type}`);
    return `create table if not exists ${identifier(name)} (${list.join(', ')})`;
}

function comments({ name, description, columns }: TableDefinition): string[] {
    const table = identifier(name);
    return [
        `comment on table ${table} is ${literal(description)}`,
        ...columns.map(
            ([column, , comment]) =>
                `comment on column ${table}.${identifier(column)} is ${literal(comment)}`,
        ),
    ];
}

/** Makes the tables that are missing, and says on all what they hold; nobody looks into a database in memory. */
export async function describeTables(db: Database): Promise<void> {
    const said = db.file === ':memory:' ? [] : tableDefinitions.flatMap(comments);
    await db.run([...tableDefinitions.map(creation), ...said].join(';\n'));
}

/** Makes the tables of an empty database, with the contract as their comments; to be run in a transaction. */
export async function makeTables(db: Database): Promise<void> {
    await describeTables(db);
    await db.run("insert into meta values ('schema_version', $version)", { version: String(SCHEMA_VERSION) });
}

/** Makes the tables of an empty database; one that has tables stays as it is. */
export async function createSchema(db: Database): Promise<void> {
    if ((await schemaVersion(db)) === null) await db.transaction(() => makeTables(db));
}
