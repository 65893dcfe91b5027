import { type Database, identifier } from '../db/database.js';
import { buildTable, contentOf, dropStored } from './buildTable.js';
import { madeFrom } from './dependencies.js';
import { type InputState, isCurrent, type Mark, wantedMark } from './marks.js';
import { CONCERNED, noteTouched, Parts } from './parts.js';
import { type Concerns, modelFiles, type SqlFile } from './sqlFile.js';

/**
 * Where a table may differ from what it was: `touched`: in the rows of chassis that readings touched; `cars`: there and in those of
 * concerned cars; `chassis`: there and in those of the chassis of concerned cars; null: anywhere.
 */
type Reach = 'touched' | 'cars' | 'chassis' | null;

const widest = (reaches: readonly Reach[]): Reach =>
    (['chassis', 'cars'] as const).find((reach) => reaches.includes(reach)) ?? 'touched';

type Pause = () => Promise<void>;

/** What tells a table from one with other rows: its rows where it is made as a whole, else what it was made from. */
const identityOf = (mark: Mark | undefined) => mark?.content ?? mark?.basis;

/** Brings model tables up to date one after the other, and knows where they differ from what they were. */
export class Renewal {
    readonly #db: Database;
    readonly #input: InputState;
    readonly #outside: string | undefined;
    readonly #before: ReadonlyMap<string, Mark>;
    /** The marks as they stand now. */
    readonly marks: Map<string, Mark>;
    readonly #reaches = new Map<string, Reach>();
    /** The parts in hand, with what they stand on. */
    readonly #parts = new Map<Reach, { standsOn: string; parts: Parts }>();
    /** The load since which `touched_chassis` are noted. */
    #touchedSince: number | null = null;
    /** How many times concerned cars were noted. */
    #notes = 0;

    /** `marks`: of the tables that are there; `outside`: state of the readings outside of the database. */
    constructor(
        db: Database,
        input: InputState,
        marks: ReadonlyMap<string, Mark>,
        outside: string | undefined,
    ) {
        this.#db = db;
        this.#input = input;
        this.#before = marks;
        this.marks = new Map(marks);
        this.#outside = outside;
    }

    #wanted(model: SqlFile, marks: ReadonlyMap<string, Mark>) {
        return wantedMark(model, modelFiles(), this.#input, marks, this.#outside);
    }

    /**
     * Makes the table of `model` as it should be; returns whether there was anything to do. The tables it is made from come before.
     * `pause` may commit, and is called where what follows would be planned better then.
     */
    async bring(model: SqlFile, pause: Pause): Promise<boolean> {
        const wanted = this.#wanted(model, this.marks);
        const mark = this.marks.get(model.table);
        if (isCurrent(mark, wanted)) return false;
        this.#reaches.set(model.table, await this.#renew(model, mark, wanted, pause));
        const content = !model.byChassis && !model.isView ? await contentOf(this.#db, model.table) : null;
        this.marks.set(model.table, { ...wanted, content });
        return true;
    }

    /** Makes the table, or as much of it as may differ, and returns where it may. */
    async #renew(
        model: SqlFile,
        mark: Mark | undefined,
        wanted: Omit<Mark, 'content'>,
        pause: Pause,
    ): Promise<Reach> {
        const reach = mark === undefined ? null : this.#reachOfSources(model, mark, wanted);
        if (model.isView) {
            if (mark?.basis !== wanted.basis) await buildTable(this.#db, model);
            return reach;
        }
        if (!model.byChassis) return this.#makeWhole(model, mark);
        const own = reach === 'cars' && !model.byVehicle ? 'chassis' : reach;
        const parts = own === null ? undefined : await this.#partsOf(own, mark!.load_id!);
        if (!parts?.isFew) {
            await buildTable(this.#db, model);
            return null;
        }
        let found = own;
        await parts.rebuild(model, modelFiles(), pause, async (former, part) => {
            // Tables of cars are large, and almost always differ.
            if (own !== 'chassis' || model.columns.some(({ name }) => name === 'vehicle')) return;
            const untouched = 'where chassis not in (select chassis from touched_chassis)';
            found = await this.#reachOfRows(
                `select * from (${former}) ${untouched}`,
                `select * from (${part}) ${untouched}`,
                model.concerns,
            );
        });
        return found;
    }

    /** Where the tables that `model` is made from differ from what they were when its table was made; null where that is not known. */
    #reachOfSources(model: SqlFile, mark: Mark, wanted: Omit<Mark, 'content'>): Reach {
        if (this.#outside !== undefined || mark.load_id === null || wanted.load_id === null) return null;
        if (mark.load_id > wanted.load_id) return null;
        if (mark.load_id === wanted.load_id && mark.reading_count !== wanted.reading_count) return null;
        if (mark.basis === wanted.basis) return 'touched';
        const sources = madeFrom(model, modelFiles()).map(({ table }) => table);
        if (!sources.every((table) => this.#before.has(table))) return null;
        if (mark.basis !== this.#wanted(model, this.#before).basis) return null;
        const changed = sources.filter(
            (table) => identityOf(this.#before.get(table)) !== identityOf(this.marks.get(table)),
        );
        const reaches = changed.map((table) => this.#reaches.get(table) ?? null);
        return reaches.includes(null) ? null : widest(reaches);
    }

    async #partsOf(reach: Exclude<Reach, null>, since: number): Promise<Parts> {
        if (this.#touchedSince !== since) {
            for (const { parts } of this.#parts.values()) await parts.drop();
            this.#parts.clear();
            await noteTouched(this.#db, since);
            this.#touchedSince = since;
        }
        const standsOn = reach === 'touched' ? '' : String(this.#notes);
        const held = this.#parts.get(reach);
        if (held?.standsOn === standsOn) return held.parts;
        await held?.parts.drop();
        const make = { touched: Parts.touched, cars: Parts.concernedCars, chassis: Parts.concerned }[reach];
        const parts = await make(this.#db);
        this.#parts.set(reach, { standsOn, parts });
        return parts;
    }

    async #makeWhole(model: SqlFile, mark: Mark | undefined): Promise<Reach> {
        if (model.concerns === null || mark === undefined || this.#outside !== undefined) {
            await buildTable(this.#db, model);
            return null;
        }
        const [table, former] = [model.table, `former ${model.table}`].map(identifier);
        await this.#db.run(`create or replace temp table ${former} as select * from ${table}`);
        await buildTable(this.#db, model);
        const reach = await this.#reachOfRows(
            `select * from ${former}`,
            `select * from ${table}`,
            model.concerns,
        );
        await this.#db.run(`drop table temp.${former}`);
        return reach;
    }

    /** Whom the rows concern in which two queries differ; the cars are noted. */
    async #reachOfRows(former: string, now: string, concerns: Concerns | null): Promise<Reach> {
        const [columns, others] = [await this.#db.columns(former), await this.#db.columns(now)];
        if (JSON.stringify(columns) !== JSON.stringify(others)) return null;
        await this.#db.run(
            `create or replace temp table changed_rows as
            from (${former} except all ${now}) union all from (${now} except all ${former})`,
        );
        if ((await this.#db.cells('select 1 from changed_rows limit 1')).length === 0) return 'touched';
        if (concerns === null) return 'chassis';
        const key = concerns.key.map(identifier);
        if (concerns.nullIsAll) {
            const isNull = key.map((column) => `${column} is null`).join(' or ');
            const found = await this.#db.cells(`select 1 from changed_rows where ${isNull} limit 1`);
            if (found.length > 0) return null;
        }
        await this.#db.run(`create temp table if not exists ${CONCERNED} (vehicle varchar)`);
        if (this.#notes === 0) await this.#db.run(`delete from ${CONCERNED}`);
        const same = key.map((column) => `rows.${column} is not distinct from changed_rows.${column}`);
        const [added] = await this.#db.cells(
            `insert into ${CONCERNED}
            select distinct vehicle
            from ${identifier(concerns.table)} as rows
            semi join changed_rows on ${same.join(' and ')}
            where vehicle not in (select vehicle from ${CONCERNED})`,
        );
        if (this.#notes === 0 || added!.Count !== 0) this.#notes++;
        return 'cars';
    }

    /** Drops what no file makes any more, and what this made for itself. */
    async finish(): Promise<void> {
        for (const { parts } of this.#parts.values()) await parts.drop();
        this.#parts.clear();
        const wanted = new Set(modelFiles().map(({ table }) => table));
        for (const table of [...this.marks.keys()].filter((name) => !wanted.has(name))) {
            await dropStored(this.#db, table);
            this.marks.delete(table);
        }
    }
}
