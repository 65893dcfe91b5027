import { z } from 'zod';
import { type Database, identifier } from '../db/database.js';
import { storedTable } from '../db/storedTable.js';
import { madeFrom } from './dependencies.js';
import type { SqlFile } from './sqlFile.js';

/** Above this share of the chassis, or of the cars, a table is made anew as a whole. */
const MOST_TOUCHED = 0.3;

const counted = z.object({ touched: z.int(), total: z.int() });

/** Temporary table of the cars that rows concern which differ from what they were. */
export const CONCERNED = 'concerned_vehicles';

/** Which rows of a table are made anew. */
interface Cut {
    /** Part of the names of the temporary tables. */
    label: string;
    condition: string;
    /** Whether tables without a column vehicle are left whole. */
    carsOnly: boolean;
}

const byTouched: Cut = {
    label: 'touched',
    condition: 'chassis in (select chassis from touched_chassis)',
    carsOnly: false,
};
const byConcernedChassis: Cut = {
    label: 'concerned',
    condition: 'chassis in (select chassis from concerned_chassis)',
    carsOnly: false,
};
const byConcernedCars: Cut = {
    label: 'cars',
    condition: `(chassis in (select chassis from touched_chassis) or vehicle in (select vehicle from ${CONCERNED}))`,
    carsOnly: true,
};

/** Chassis that are named with one of `seeds`, a query, or share a car with one, since a car may stand under two chassis by mistake. */
const withSharedCars = (seeds: string) => `
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
    reached as (
        select chassis from (${seeds})
        union
        select neighbour as chassis from reached inner join neighbours using (chassis)
    )
    select chassis from reached`;

/** Notes in `touched_chassis` which chassis have readings that came, or were replaced, after load `since`. */
export async function noteTouched(db: Database, since: number): Promise<void> {
    const seeds = `
        select chassis from readings where load_id > $load_id
        union
        select chassis from readings_history where superseded_by > $load_id`;
    await db.run(`create or replace temp table touched_chassis as ${withSharedCars(seeds)}`, {
        load_id: since,
    });
}

async function noteConcernedChassis(db: Database): Promise<void> {
    const seeds = `
        select chassis from touched_chassis
        union
        select chassis from readings semi join ${CONCERNED} using (vehicle)`;
    await db.run(`create or replace temp table concerned_chassis as ${withSharedCars(seeds)}`);
}

/**
 * Rows to be made anew of the tables that are cut by chassis, in temporary tables: what a query needs is cut out once. They stand on
 * `touched_chassis` and {@link CONCERNED} as these are when they are asked for.
 */
export class Parts {
    readonly #db: Database;
    readonly #cut: Cut;
    readonly #held = new Set<string>();
    /** Whether these are so few that {@link Parts.rebuild} pays. */
    readonly isFew: boolean;

    private constructor(db: Database, cut: Cut, isFew: boolean) {
        this.#db = db;
        this.#cut = cut;
        this.isFew = isFew;
    }

    static async #of(db: Database, cut: Cut, rows: string): Promise<Parts> {
        const [count] = await db.rows(
            counted,
            `select count(*) filter (where ${cut.condition}) as touched, count(*) as total from (${rows})`,
        );
        return new Parts(db, cut, count!.touched <= MOST_TOUCHED * count!.total);
    }

    /** Rows of the touched chassis. */
    static touched(db: Database): Promise<Parts> {
        return Parts.#of(db, byTouched, 'select distinct chassis from readings');
    }

    /** Rows of the touched chassis, and of those that concerned cars stand under. */
    static async concerned(db: Database): Promise<Parts> {
        await noteConcernedChassis(db);
        return Parts.#of(db, byConcernedChassis, 'select distinct chassis from readings');
    }

    /** Rows of the touched chassis and of concerned cars. */
    static concernedCars(db: Database): Promise<Parts> {
        return Parts.#of(db, byConcernedCars, 'select distinct chassis, vehicle from readings');
    }

    /**
     * What the query of `model` must see cut, in run order: tables that are cut, and the views between. A view is cut by what it is made
     * from.
     */
    #sources(model: SqlFile, models: readonly SqlFile[]): SqlFile[] {
        const found = new Set<SqlFile>();
        const add = (one: SqlFile) => {
            for (const source of madeFrom(one, models)) {
                if (!source.isView && !source.byChassis) continue;
                if (
                    !source.isView &&
                    this.#cut.carsOnly &&
                    !source.columns.some(({ name }) => name === 'vehicle')
                )
                    continue;
                found.add(source);
                if (source.isView) add(source);
            }
        };
        add(model);
        return models.filter((one) => found.has(one));
    }

    #part(table: string): string {
        return identifier(`${this.#cut.label} ${table}`);
    }

    async #cutOut(table: string): Promise<void> {
        if (this.#held.has(table)) return;
        const whole = await storedTable(this.#db, table);
        await this.#db.run(
            `create or replace temp table ${this.#part(table)} as select * from ${whole} where ${this.#cut.condition}`,
        );
        this.#held.add(table);
    }

    /**
     * Makes these rows of the table of `model` anew: its query sees only those of the readings and of the tables that are cut, through
     * temporary views that hide the whole ones. Rows of no chassis come from whole tables, and stay. `pause` is called once these are cut
     * out, `compare` while the table holds what it held and `part`, a query, gives the rows that will be there.
     */
    async rebuild(
        model: SqlFile,
        models: readonly SqlFile[],
        pause: () => Promise<void>,
        compare: (former: string, part: string) => Promise<void> = async () => undefined,
    ): Promise<void> {
        const sources = this.#sources(model, models);
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
        const { condition } = this.#cut;
        await this.#db.run(
            `create or replace temp table ${part} as select * from (${model.query}\n) where ${condition}`,
        );
        this.#held.add(model.table);
        for (const name of [...cut, ...views.map(({ table }) => table)].reverse()) {
            await this.#db.run(`drop view temp.${identifier(name)}`);
        }
        const table = identifier(model.table);
        await compare(`select * from ${table} where ${condition}`, `select * from ${part}`);
        await this.#db.run(`delete from ${table} where ${condition}`);
        await this.#db.run(`insert into ${table} select * from ${part}`);
    }

    /** Drops the temporary tables. */
    async drop(): Promise<void> {
        for (const table of this.#held) await this.#db.run(`drop table temp.${this.#part(table)}`);
        this.#held.clear();
    }
}
