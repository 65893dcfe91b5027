import { z } from 'zod';
import { type Database, identifier } from '../db/database.js';
import { storedTable } from '../db/storedTable.js';
import { madeFrom } from './dependencies.js';
import type { SqlFile } from './sqlFile.js';

/** Above this share of the chassis, a table is made anew as a whole. */
const MOST_TOUCHED = 0.3;

const counted = z.object({ touched: z.int(), total: z.int() });

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

/** Temporary table of chassis that rows of whole tables concern which were made anew with others. */
export const CONCERNED = 'concerned_chassis';

/**
 * The chassis that are touched, and their rows of the tables that are cut by chassis, in temporary tables: what a query needs is cut
 * out once.
 */
export class TouchedParts {
    readonly #db: Database;
    readonly #held = new Set<string>();
    readonly #label: string;
    /** What is touched. */
    readonly #condition: string;
    /** Whether so few chassis are touched that {@link TouchedParts.rebuild} pays. */
    readonly isFew: boolean;

    private constructor(db: Database, label: string, isFew: boolean) {
        this.#db = db;
        this.#label = label;
        this.#condition = `chassis in (select chassis from ${label}_chassis)`;
        this.isFew = isFew;
    }

    /**
     * Notes, under `label`, which chassis have readings that came, or were replaced, after load `since`, those of `others`, a query, and
     * which share a car with one of them, since a car may stand under two chassis by mistake.
     */
    static async since(
        db: Database,
        label: string,
        since: number,
        others: string | null,
    ): Promise<TouchedParts> {
        await db.run(
            `create or replace temp table ${label}_chassis as
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
                    ${others === null ? '' : `union ${others}`}
                )
                union
                select neighbour as chassis from touched inner join neighbours using (chassis)
            )
            select chassis from touched`,
            { load_id: since },
        );
        const [count] = await db.rows(
            counted,
            `select
                (select count(*) from ${label}_chassis) as touched,
                (select count(*) from (select distinct chassis from readings)) as total`,
        );
        return new TouchedParts(db, label, count!.touched <= MOST_TOUCHED * count!.total);
    }

    #part(table: string): string {
        return identifier(`${this.#label} ${table}`);
    }

    async #cutOut(table: string): Promise<void> {
        if (this.#held.has(table)) return;
        const whole = await storedTable(this.#db, table);
        await this.#db.run(
            `create or replace temp table ${this.#part(table)} as select * from ${whole} where ${this.#condition}`,
        );
        this.#held.add(table);
    }

    /**
     * Makes the rows of the touched chassis of the table of `model` anew: its query sees only those of the readings and of the tables
     * that are cut by chassis, through temporary views that hide the whole ones. Rows of no chassis come from whole tables, and stay.
     * `pause` is called once these are cut out.
     */
    async rebuild(model: SqlFile, models: readonly SqlFile[], pause: () => Promise<void>): Promise<void> {
        const sources = cutSources(model, models);
        const cut = ['readings', ...sources.filter(({ isView }) => !isView).map(({ table }) => table)];
        for (const table of cut) await this.#cutOut(table);
        await pause();
        for (const table of cut) {
            await this.#db.run(`create temp view ${identifier(table)} as select * from ${this.#part(table)}`);
        }
        const views = sources.filter(({ isView }) => isView);
        for (const { table, query } of views) {
            await this.#db.run(`create temp view ${identifier(table)} as ${query}`);
        }
        const part = this.#part(model.table);
        await this.#db.run(
            `create or replace temp table ${part} as select * from (${model.query}\n) where ${this.#condition}`,
        );
        this.#held.add(model.table);
        for (const name of [...cut, ...views.map(({ table }) => table)].reverse()) {
            await this.#db.run(`drop view temp.${identifier(name)}`);
        }
        const table = identifier(model.table);
        await this.#db.run(`delete from ${table} where ${this.#condition}`);
        await this.#db.run(`insert into ${table} select * from ${part}`);
    }

    /** Drops the temporary tables. */
    async drop(): Promise<void> {
        for (const table of this.#held) await this.#db.run(`drop table temp.${this.#part(table)}`);
        this.#held.clear();
    }
}
