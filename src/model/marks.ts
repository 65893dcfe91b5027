import { createHash } from 'node:crypto';
import { z } from 'zod';
import { kinds } from '../contracts/kinds.js';
import { type Database, identifier } from '../db/database.js';
import { voidedTable } from '../db/schema.js';
import { packageVersion } from '../packageRoot.js';
import { madeFrom, wordsIn } from './dependencies.js';
import { functionFiles, once, type SqlFile } from './sqlFile.js';

/** What one model table was last made from, as table `build` keeps it. */
export interface Mark {
    /** Hash of all that decides the rows but the readings: query, functions, version, other input, tables that it is made from. */
    basis: string;
    /** Last load of readings that the table holds, and the number of all; null: it is not made from readings. */
    load_id: number | null;
    reading_count: number | null;
    /** Hash of the rows; null for a table that is cut by chassis, and for a view. */
    content: string | null;
}

const markRow = z.object({
    table_name: z.string(),
    basis: z.string(),
    load_id: z.int().nullable(),
    reading_count: z.int().nullable(),
    content: z.string().nullable(),
});

/** The marks of the tables that the database holds, of this form of `build` only. */
export async function storedMarks(db: Database): Promise<Map<string, Mark>> {
    if (!(await db.holds('build', Object.keys(markRow.shape)))) return new Map();
    const rows = await db.rows(markRow, `select ${Object.keys(markRow.shape).join(', ')} from build`);
    return new Map(rows.map(({ table_name, ...mark }) => [table_name, mark]));
}

export async function storeMarks(db: Database, marks: ReadonlyMap<string, Mark>): Promise<void> {
    const form = {
        table_name: 'varchar',
        basis: 'varchar',
        load_id: 'integer',
        reading_count: 'bigint',
        content: 'varchar',
    };
    await db.run(
        `create or replace table build as
        select unnest(from_json($marks, '[${JSON.stringify(form)}]'), recursive := true)`,
        { marks: JSON.stringify([...marks].map(([table_name, mark]) => ({ table_name, ...mark }))) },
    );
}

const inputRow = z.object({
    kind: z.string(),
    load_id: z.int(),
    row_count: z.int(),
    /** Grows with each row that is voided or brought back. */
    voided_count: z.int(),
});

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
            `select
                '${kind}' as kind,
                count(*) as row_count,
                coalesce(max(load_id), 0) as load_id,
                (select count(*) + count(brought_back_at) from ${identifier(voidedTable(kind))}) as voided_count
            from ${identifier(kind)}`,
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
 * The basis of `model` and the readings that it should hold, from the marks of the tables that it is made from. A table
 * cut by chassis stands with its basis, one made as a whole with its content: made anew with the same rows, it changes nothing.
 */
export function wantedMark(
    model: SqlFile,
    models: readonly SqlFile[],
    input: InputState,
    marks: ReadonlyMap<string, Mark>,
    outside: string | undefined,
): Omit<Mark, 'content'> {
    const hash = createHash('sha256').update(common()).update(model.query);
    const named = wordsIn(model);
    for (const { kind, load_id, row_count, voided_count } of input.values()) {
        if (!named.has(kind)) continue;
        if (kind !== 'readings') hash.update(`${kind} ${load_id} ${row_count};`);
        hash.update(`${voided_count};`);
    }
    let reads = named.has('readings');
    if (reads && outside !== undefined) hash.update(outside);
    for (const { table } of madeFrom(model, models)) {
        const mark = marks.get(table)!;
        hash.update(`${table} ${mark.content ?? mark.basis};`);
        reads ||= mark.load_id !== null;
    }
    const readings = input.get('readings')!;
    return {
        basis: hash.digest('hex'),
        load_id: reads ? readings.load_id : null,
        reading_count: reads ? readings.row_count : null,
    };
}

/** Whether `mark` is of the table that is `wanted`. */
export function isCurrent(mark: Mark | undefined, wanted: Omit<Mark, 'content'>): boolean {
    return (
        mark?.basis === wanted.basis &&
        mark.load_id === wanted.load_id &&
        mark.reading_count === wanted.reading_count
    );
}
