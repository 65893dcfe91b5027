import { z } from 'zod';
import { type Database, identifier } from '../db/database.js';
import { storedTable } from '../db/storedTable.js';
import { madeFrom } from './dependencies.js';
import type { SqlFile } from './sqlFile.js';

/** Above this share of the chassis, a table is made anew as a whole. */
const MOST_TOUCHED = 0.3;

const counted = z.object({ touched: z.int(), total: z.int() });

/**
 * Notes in a temporary table which chassis have readings that came, or were replaced, after load `loadId`, and which share a car with
 * one of them, since a car may stand under two chassis by mistake. Returns whether they are few enough for {@link rebuildTouched}.
 */
export async function noteTouched(db: Database, loadId: number): Promise<boolean> {
    await db.run(
        `create or replace temp table touched_chassis as
        with recursive
        shared as (
            select distinct vehicle, chassis
            from readings
            semi join (select vehicle from readings group by vehicle having min(chassis) <> max(chassis)) using (vehicle)
        ),
        neighbours as (
            select distinct one.chassis, other.chassis as neighbour
            from shared as one
            inner join shared as other using (vehicle)
        ),
        touched as (
            select chassis
            from (
                select chassis from readings where load_id > $load_id
                union
                select chassis from readings_history where superseded_by > $load_id
            )
            union
            select neighbour as chassis from touched inner join neighbours using (chassis)
        )
        select chassis from touched`,
        { load_id: loadId },
    );
    const [count] = await db.rows(
        counted,
        `select
            (select count(*) from touched_chassis) as touched,
            (select count(*) from (select distinct chassis from readings)) as total`,
    );
    return count!.touched <= MOST_TOUCHED * count!.total;
}

/**
 * What the query of `model` must see cut, in run order: tables that are cut by chassis, and the views between. A view is cut by what
 * it is made from.
 */
function cutSources(model: SqlFile, models: readonly SqlFile[]): SqlFile[] {
    const found = new Set<SqlFile>();
    const add = (one: SqlFile) => {
        for (const source of madeFrom(one, models)) {
            if (!source.isView && !source.byChassis) continue;
            found.add(source);
            if (source.isView) add(source);
        }
    };
    add(model);
    return models.filter((one) => found.has(one));
}

/**
 * Makes the rows of the touched chassis of the table of `model` anew: its query sees only those of the readings and of the tables
 * that are cut by chassis, through temporary views that hide the whole ones. {@link noteTouched} comes first.
 */
export async function rebuildTouched(
    db: Database,
    model: SqlFile,
    models: readonly SqlFile[],
): Promise<void> {
    const sources = cutSources(model, models);
    const touched = 'chassis in (select chassis from touched_chassis)';
    const cut = async (table: string) => `select * from ${await storedTable(db, table)} where ${touched}`;
    await db.run(`create temp view readings as ${await cut('readings')}`);
    for (const { table, query, isView } of sources) {
        await db.run(`create temp view ${identifier(table)} as ${isView ? query : await cut(table)}`);
    }
    // Rows of no chassis come from whole tables, and stand already.
    await db.run(`create temp table renewed as select * from (${model.query}\n) where ${touched}`);
    for (const name of ['readings', ...sources.map(({ table }) => table)].reverse()) {
        await db.run(`drop view temp.${identifier(name)}`);
    }
    const table = identifier(model.table);
    await db.run(`delete from ${table} where ${touched}`);
    await db.run(`insert into ${table} select * from renewed`);
    await db.run('drop table renewed');
}
