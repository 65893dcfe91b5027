import { setImmediate } from 'node:timers/promises';
import { z } from 'zod';
import { openTables } from '../contracts/openTables.js';
import { type Appended, type Database, identifier, literal } from '../db/database.js';
import { storedTable } from '../db/storedTable.js';
import type { SqlFile } from './sqlFile.js';
import { wholeTables } from './wholeTables.js';

const storedKind = z.object({ kind: z.enum(['table', 'view']) });

/** Drops what the database file holds under `name`, table or view. */
export async function dropStored(db: Database, name: string): Promise<void> {
    const found = await db.rows(
        storedKind,
        `select 'table' as kind from duckdb_tables() where table_name = $name and not temporary
        union all
        select 'view' as kind from duckdb_views() where view_name = $name and not temporary`,
        { name },
    );
    for (const { kind } of found) await db.run(`drop ${kind} ${await storedTable(db, name)}`);
}

/** `rows`, with a pause every few milliseconds, so that other connections get their next statement. */
async function* breathing<T>(rows: AsyncIterable<T>): AsyncIterable<T> {
    let last = performance.now();
    for await (const some of rows) {
        yield some;
        if (performance.now() - last < 5) continue;
        await setImmediate();
        last = performance.now();
    }
}

/** Makes a table of rows that a function of `src/stats/tables` computes from those of the model's query. */
async function compute(db: Database, model: SqlFile, temporary = false): Promise<void> {
    const { table, columns, query, file, givenWhole, isLarge } = model;
    const { tableFunctions } = await import('../stats/tables/tableFunctions.js');
    const made = tableFunctions[table];
    if (made === undefined) throw new Error(`sql/${file}: src/stats/tables has no function for ${table}`);
    const start = emptyTable(temporary ? 'temp table' : 'table', model);
    const whole = await wholeTables(db, givenWhole);
    if (isLarge) {
        const batches = await db.aside(query);
        await db.run(start);
        await db.append(
            table,
            columns,
            breathing(made(batches, whole) as AsyncIterable<Appended>),
            temporary,
        );
        return batches.release();
    }
    // Without batches put aside no statement may run before the last row.
    const found: Appended[] = [];
    const rows = breathing(made(db.batches(query), whole) as AsyncIterable<Appended>);
    for await (const some of rows) found.push(some);
    await db.run(start);
    await db.append(table, columns, found, temporary);
}

function emptyTable(kind: 'table' | 'temp table', { table, columns }: SqlFile): string {
    const defined = columns.map(({ name, type }) => `${identifier(name)} ${type}`).join(', ');
    return `create or replace ${kind} ${identifier(table)} (${defined})`;
}

/** Makes the table for this connection only: it hides that of the database. */
export async function makeTemporary(db: Database, model: SqlFile): Promise<void> {
    if (model.isComputed) await compute(db, model, true);
    else await db.run(`create or replace temp table ${identifier(model.table)} as ${model.query}`);
}

/** Of a table that other programs read the header becomes comments. */
function commentsOn({ table, isView, title, grain, columns }: SqlFile): string[] {
    if (!(openTables as readonly string[]).includes(table)) return [];
    const comments = columns.map(({ name, unit, description }) => {
        const text = unit === null ? description : `${description} [${unit}]`;
        return `comment on column ${identifier(table)}.${identifier(name)} is ${literal(text)}`;
    });
    return [
        `comment on ${isView ? 'view' : 'table'} ${identifier(table)} is ${literal(`${title}; ${grain}`)}`,
        ...comments,
    ];
}

/**
 * Runs one model file: makes its table or view, in place of one of its name, which an earlier version may have kept the other way. Where it
 * `isFollowed` by others returns a hash of its rows that does not depend on their order, else null.
 */
export async function buildTable(db: Database, model: SqlFile, isFollowed = false): Promise<string | null> {
    const { table, isView, query } = model;
    const name = identifier(table);
    const statements = commentsOn(model);
    if (model.isComputed) await compute(db, model);
    else statements.unshift(`create or replace ${isView ? 'view' : 'table'} ${name} as ${query}`);
    if (isFollowed)
        statements.push(
            `select count(*) || ' ' || coalesce(sum(hash(${name}))::varchar, '') as content from ${name}`,
        );
    // As one: each that is asked by itself takes a tenth of a millisecond more.
    const ask = async () => (statements.length === 0 ? [] : await db.cells(statements.join('\n;\n')));
    const rows = await ask().catch(async (error: Error) => {
        if (!/^Catalog Error: Existing object .* is of type /.test(error.message)) throw error;
        await dropStored(db, table);
        return ask();
    });
    return isFollowed ? String(rows[0]!.content) : null;
}
