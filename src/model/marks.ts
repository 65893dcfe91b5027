import { createHash } from 'node:crypto';
import { z } from 'zod';
import { kinds } from '../contracts/kinds.js';
import { type Database, identifier } from '../db/database.js';
import { packageVersion } from '../packageRoot.js';
import { madeFrom, wordsIn } from './dependencies.js';
import { functionFiles, once, type SqlFile } from './sqlFile.js';

/** What one model table was last made from, as table `build` keeps it. */
export interface Mark {
    /** Hash of all that decides the rows: query, functions, versions, input, tables that it is made from. */
    basis: string;
    /** Hash of the rows; null for a view. */
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

export async function storeMarks(db: Database, marks: ReadonlyMap<string, Mark>): Promise<void> {
    const form = { table_name: 'varchar', basis: 'varchar', content: 'varchar' };
    await db.run(
        `create or replace table build as
        select unnest(from_json($marks, '[${JSON.stringify(form)}]'), recursive := true)`,
        { marks: JSON.stringify([...marks].map(([table_name, mark]) => ({ table_name, ...mark }))) },
    );
}

const inputRow = z.object({ kind: z.string(), load_id: z.int(), row_count: z.int() });

/** Input that the tables are made from, by kind: the last load and the number of rows. */
export type InputState = ReadonlyMap<string, z.infer<typeof inputRow>>;

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

export async function inputState(db: Database): Promise<InputState> {
    const counts = kinds.map(
        (kind) =>
            `select '${kind}' as kind, count(*) as row_count, coalesce(max(load_id), 0) as load_id from ${identifier(kind)}`,
    );
    const rows = await db.rows(inputRow, counts.join(' union all '));
    return new Map(rows.map((row) => [row.kind, row]));
}

/** Hash of what all tables rest on. */
const common = once(() =>
    createHash('sha256')
        .update(JSON.stringify([packageVersion(), functionFiles().map(({ query }) => query)]))
        .digest(),
);

/**
 * The basis that the table of `model` should have, from the marks of the tables that it is made from. These count with their rows: a
 * table that was made anew with the same rows leaves those after it as they are.
 */
export function wantedBasis(
    model: SqlFile,
    models: readonly SqlFile[],
    input: InputState,
    marks: ReadonlyMap<string, Mark>,
    outside: string | undefined,
): string {
    const hash = createHash('sha256').update(common()).update(model.query);
    const named = wordsIn(model);
    for (const { kind, load_id, row_count } of input.values()) {
        if (named.has(kind)) hash.update(`${kind} ${load_id} ${row_count};`);
    }
    if (named.has('readings') && outside !== undefined) hash.update(outside);
    for (const { table } of madeFrom(model, models)) {
        const mark = marks.get(table)!;
        hash.update(`${table} ${mark.content ?? mark.basis};`);
    }
    return hash.digest('hex');
}
