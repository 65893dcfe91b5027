import { z } from 'zod';
import { type Database, identifier, literal } from '../db/database.js';
import { storedTable } from '../db/storedTable.js';
import type { SqlFile } from './sqlFile.js';

const described = z.object({ column_name: z.string(), column_type: z.string() });

const storedKind = z.object({ kind: z.enum(['table', 'view']) });

/** Drops what the database file holds under `name`, table or view, unless it is of the kind `but`. */
export async function dropStored(db: Database, name: string, but?: 'table' | 'view'): Promise<void> {
    const found = await db.rows(
        storedKind,
        `select 'table' as kind from duckdb_tables() where table_name = $name and not temporary
        union all
        select 'view' as kind from duckdb_views() where view_name = $name and not temporary`,
        { name },
    );
    for (const { kind } of found) {
        if (kind !== but) await db.run(`drop ${kind} ${await storedTable(db, name)}`);
    }
}

/** Runs one model file: replaces its table, checks it against the file's header and writes the header as comments. */
export async function buildTable(db: Database, model: SqlFile): Promise<void> {
    const table = identifier(model.table);
    const kind = model.isView ? 'view' : 'table';
    // An earlier version may have kept it the other way.
    await dropStored(db, model.table, kind);
    await db.run(`create or replace ${kind} ${table} as ${model.query}`);
    const found = await db.rows(described, `select column_name, column_type from (describe ${table})`);
    const actual = found.map((column) => `${column.column_name} ${column.column_type}`).join('\n');
    const written = model.columns.map((column) => `${column.name} ${column.type}`).join('\n');
    if (actual !== written) {
        throw new Error(
            `sql/${model.file}: the header and the query disagree.\nheader:\n${written}\nquery:\n${actual}`,
        );
    }
    await db.run(`comment on ${kind} ${table} is ${literal(`${model.title}; ${model.grain}`)}`);
    for (const column of model.columns) {
        const unit = column.unit === null ? '' : ` [${column.unit}]`;
        await db.run(
            `comment on column ${table}.${identifier(column.name)} is ${literal(`${column.description}${unit}`)}`,
        );
    }
}

/** A hash of the rows of a table that does not depend on their order. */
export async function contentOf(db: Database, table: string): Promise<string> {
    const name = identifier(table);
    const [row] = await db.cells(
        `select count(*) || ' ' || coalesce(sum(hash(${name}))::varchar, '') as content from ${name}`,
    );
    return String(row!.content);
}
