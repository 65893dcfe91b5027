import { z } from 'zod';
import { type Database, identifier } from '../db/database.js';
import { storedTable } from '../db/storedTable.js';
import { madeFrom } from './dependencies.js';
import type { Part, SqlFile } from './sqlFile.js';

/** Above this share of the parts, the table is made anew as a whole. */
const MOST_TOUCHED = 0.3;

const touchedTable = (part: Part) => `touched_${part}s`;

const counted = z.object({ touched: z.int(), total: z.int() });

/**
 * Notes which vehicles and chassis have readings that came, or were replaced, after load `loadId`, in temporary tables. Returns
 * the parts by which little enough is touched.
 */
export async function noteTouched(db: Database, loadId: number): Promise<ReadonlySet<Part>> {
    const few = new Set<Part>();
    for (const part of ['vehicle', 'chassis'] as const) {
        const name = touchedTable(part);
        await db.run(
            `create or replace temp table ${name} as
            select ${part} from readings where load_id > $load_id
            union
            select ${part} from readings_history where superseded_by > $load_id`,
            { load_id: loadId },
        );
        const [count] = await db.rows(
            counted,
            `select (select count(*) from ${name}) as touched, (select count(distinct ${part}) from readings) as total`,
        );
        if (count!.touched <= MOST_TOUCHED * count!.total) few.add(part);
    }
    return few;
}

/**
 * Makes the touched parts of the table of `model` anew: its query sees only those parts of the readings and of the tables that are
 * made in parts, through temporary views that hide the whole ones. {@link noteTouched} comes first.
 */
export async function rebuildParts(db: Database, model: SqlFile, models: readonly SqlFile[]): Promise<void> {
    const { part } = model;
    if (part === null) throw new Error(`sql/${model.file} is not made in parts`);
    const sources = madeFrom(model, models).filter((source) => source.part !== null);
    const finer = sources.find((source) => part === 'vehicle' && source.part === 'chassis');
    if (finer !== undefined) {
        throw new Error(
            `sql/${model.file} is cut by vehicle, but ${finer.table} by chassis, which touches more`,
        );
    }
    const hidden = ['readings', ...sources.map(({ table }) => table)];
    const touched = `select ${part} from ${touchedTable(part)}`;
    for (const table of hidden) {
        const stored = await storedTable(db, table);
        await db.run(
            `create temp view ${identifier(table)} as select * from ${stored} where ${part} in (${touched})`,
        );
    }
    await db.run(`create temp table renewed as ${model.query}`);
    for (const table of hidden) await db.run(`drop view temp.${identifier(table)}`);
    const table = identifier(model.table);
    await db.run(`delete from ${table} where ${part} in (${touched})`);
    await db.run(`insert into ${table} select * from renewed`);
    await db.run('drop table renewed');
}
