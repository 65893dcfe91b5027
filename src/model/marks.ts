import { createHash } from 'node:crypto';
import { z } from 'zod';
import { kinds } from '../contracts/kinds.js';
import { type Database, duckdbVersion, identifier, literal } from '../db/database.js';
import { storedTable } from '../db/storedTable.js';
import { packageVersion } from '../packageRoot.js';
import { statisticsFingerprint } from '../stats/fingerprint.js';
import { groundsOfModel } from './dependencies.js';
import { functionFiles, modelFiles, type SqlFile } from './sqlFile.js';

/** What one model table was last made from, as table `build` keeps it. */
export interface Mark {
    /** Hash of all that decides the table: query with its header, functions, versions, input, rows of the tables that it is made from. */
    basis: string;
    /** Hash of the rows, null where no table is made from them; of a view, of all that its text rests on. */
    content: string | null;
}

const markRow = z.object({
    table_name: z.string(),
    basis: z.string(),
    content: z.string().nullable(),
});

/** The marks of the tables that the database holds, of this form of `build` only. */
export async function storedMarks(db: Database): Promise<Map<string, Mark>> {
    if (!(await db.holds('build', Object.keys(markRow.shape)))) return new Map();
    const rows = await db.rows(markRow, `select ${Object.keys(markRow.shape).join(', ')} from build`);
    return new Map(rows.map(({ table_name, ...mark }) => [table_name, mark]));
}

const form = Object.keys(markRow.shape).map((name) => `${name} varchar`);

/** Makes table `build` without marks. */
export const createMarks = (db: Database) => db.run(`create or replace table build (${form.join(', ')})`);

const dropping = (tables: readonly string[]) =>
    `delete from build where table_name in (${tables.map(literal).join(', ')})`;

export const dropMarks = (db: Database, tables: readonly string[]) => db.run(dropping(tables));

/** Puts `marks` in the place of those of these tables. */
export async function storeMarks(db: Database, marks: ReadonlyMap<string, Mark>): Promise<void> {
    const rows = [...marks].map(([table, { basis, content }]) =>
        [table, basis, content].map((text) => (text === null ? 'null' : literal(text))),
    );
    await db.run(
        `${dropping([...marks.keys()])};
        insert into build values ${rows.map((row) => `(${row.join(', ')})`).join(', ')}`,
    );
}

/** What all tables rest on. */
interface Foundation {
    /** Versions of the program, its functions in `src/stats` and DuckDB. */
    engine: string;
    /** By kind of input, a text that changes with its rows. */
    input: ReadonlyMap<string, string>;
}

/** Readings that are not in the database: `readings` stands for both, once it is attached. */
export interface OutsideReadings {
    /** Folder that the database must have access to. */
    folder: string;
    /** Changes with the readings. */
    state: string;
    attach(db: Database): Promise<void>;
    /** Throws where they break the contract. */
    verify(db: Database): Promise<void>;
}

const inputRow = z.object({ kind: z.string(), state: z.string() });

/**
 * The foundation as it stands. Of each kind it holds the number of rows and a hash in any order, whatever brought or took them; of readings
 * the hash of what tells them apart: load, line, and what a map makes of one line. `outside`: state of the readings outside of the database.
 */
export async function foundationOf(db: Database, outside: string | undefined): Promise<Foundation> {
    const stored = await storedTable(db, 'readings');
    const state = (kind: string, from: string, columns: string) =>
        `select '${kind}' as kind, count(*) || ' ' || coalesce(bit_xor(hash(${columns})), 0) as state from ${from} as held`;
    const states = kinds.map((kind) =>
        kind === 'readings'
            ? state(kind, stored, 'load_id, source_line, corner, phase, repeat')
            : state(kind, identifier(kind), 'held'),
    );
    const rows = await db.rows(inputRow, states.join(' union all '));
    const input = new Map(rows.map(({ kind, state }) => [kind, state]));
    if (outside !== undefined) input.set('readings', `${input.get('readings')} ${outside}`);
    return { engine: [packageVersion(), statisticsFingerprint(), duckdbVersion].join(' '), input };
}

const hashOf = (parts: readonly string[]) => createHash('sha256').update(JSON.stringify(parts)).digest('hex');

/** Hash of all that a view may rest on but rows. */
export const textsOf = ({ engine }: Foundation) =>
    hashOf([engine, ...[...modelFiles(), ...functionFiles()].map(({ query }) => query)]);

/**
 * The basis that the table of `model` should have, from the marks of the tables that it is made from. These count with their rows: a table
 * that was made anew with the same rows leaves those after it as they are.
 */
export async function wantedBasis(
    db: Database,
    model: SqlFile,
    { engine, input }: Foundation,
    marks: ReadonlyMap<string, Mark>,
): Promise<string> {
    const { tables, functions } = await groundsOfModel(db, model);
    const rows: string[] = [];
    for (const [kind, state] of input) if (tables.has(kind)) rows.push(`${kind} ${state}`);
    for (const { table, isView } of modelFiles()) {
        if (!tables.has(table)) continue;
        const { basis, content } = marks.get(table)!;
        rows.push(`${table} ${isView ? basis : (content ?? basis)}`);
    }
    return hashOf([engine, model.query, ...functions.map(({ query }) => query), ...rows]);
}
