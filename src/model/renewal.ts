import type { Database } from '../db/database.js';
import { identifier } from '../db/database.js';
import { buildTable, contentOf, dropStored } from './buildTable.js';
import { madeFrom } from './dependencies.js';
import { type InputState, isCurrent, type Mark, wantedMark } from './marks.js';
import { CONCERNED, TouchedParts } from './parts.js';
import { type Concerns, modelFiles, type SqlFile } from './sqlFile.js';

/** What tells tables of one state from those of another: the rows of one made as a whole, else what it was made from. */
const identityOf = (mark: Mark | undefined) => mark?.content ?? mark?.basis;

/** Brings model tables up to date one after the other, and knows in which chassis those differ from what they were. */
export class Renewal {
    readonly #db: Database;
    readonly #input: InputState;
    readonly #outside: string | undefined;
    readonly #before: ReadonlyMap<string, Mark>;
    /** The marks as they stand now. */
    readonly marks: Map<string, Mark>;
    /** Tables that are not what they were, but for touched and concerned chassis only. */
    readonly #told = new Set<string>();
    readonly #parts = new Map<string, { key: string; parts: TouchedParts }>();
    /** How many times chassis were added to those concerned. */
    #concernedTimes = 0;

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
    async bring(model: SqlFile, pause: () => Promise<void>): Promise<boolean> {
        const wanted = this.#wanted(model, this.marks);
        const mark = this.marks.get(model.table);
        if (isCurrent(mark, wanted)) return false;
        const told = await this.#renew(model, mark, wanted, pause);
        if (told) this.#told.add(model.table);
        const content = !model.byChassis && !model.isView ? await contentOf(this.#db, model.table) : null;
        this.marks.set(model.table, { ...wanted, content });
        return true;
    }

    /** Returns whether it is known in which chassis the table may differ from what it was. */
    async #renew(
        model: SqlFile,
        mark: Mark | undefined,
        wanted: Omit<Mark, 'content'>,
        pause: () => Promise<void>,
    ): Promise<boolean> {
        const sourcesTold = mark !== undefined && this.#sourcesTold(model, mark, wanted);
        if (model.isView) {
            if (mark?.basis !== wanted.basis) await buildTable(this.#db, model);
            return sourcesTold;
        }
        if (!model.byChassis) return this.#makeWhole(model, mark);
        const parts = sourcesTold ? await this.#partsOf(mark, wanted) : undefined;
        if (!parts?.isFew) {
            await buildTable(this.#db, model);
            return false;
        }
        await parts.rebuild(model, modelFiles(), pause);
        return true;
    }

    /** Whether the table of `mark` stands on the tables as they were before, and these changed in known chassis only. */
    #sourcesTold(model: SqlFile, mark: Mark, wanted: Omit<Mark, 'content'>): boolean {
        if (this.#outside !== undefined || mark.load_id === null || wanted.load_id === null) return false;
        if (mark.load_id > wanted.load_id) return false;
        if (mark.load_id === wanted.load_id && mark.reading_count !== wanted.reading_count) return false;
        const sources = madeFrom(model, modelFiles()).map(({ table }) => table);
        return (
            sources.every((table) => this.#before.has(table)) &&
            mark.basis === this.#wanted(model, this.#before).basis &&
            sources.every(
                (table) =>
                    this.#told.has(table) ||
                    identityOf(this.#before.get(table)) === identityOf(this.marks.get(table)),
            )
        );
    }

    async #partsOf(mark: Mark, wanted: Omit<Mark, 'content'>): Promise<TouchedParts> {
        const onlyReadings = mark.basis === wanted.basis;
        const label = onlyReadings ? 'touched' : 'concerned';
        const key = `${mark.load_id} ${onlyReadings ? 0 : this.#concernedTimes}`;
        const held = this.#parts.get(label);
        if (held?.key === key) return held.parts;
        await held?.parts.drop();
        const others = onlyReadings || this.#concernedTimes === 0 ? null : `select chassis from ${CONCERNED}`;
        const parts = await TouchedParts.since(this.#db, label, mark.load_id!, others);
        this.#parts.set(label, { key, parts });
        return parts;
    }

    async #makeWhole(model: SqlFile, mark: Mark | undefined): Promise<boolean> {
        if (model.concerns === null || mark === undefined || this.#outside !== undefined) {
            await buildTable(this.#db, model);
            return false;
        }
        const former = `former ${model.table}`;
        await this.#db.run(
            `create or replace temp table ${identifier(former)} as select * from ${identifier(model.table)}`,
        );
        await buildTable(this.#db, model);
        const told = await this.#noteConcerned(model.table, former, model.concerns);
        await this.#db.run(`drop table temp.${identifier(former)}`);
        return told;
    }

    /** Adds the chassis that the rows concern in which `table` differs from `former`; false where they concern all. */
    async #noteConcerned(table: string, former: string, concerns: Concerns): Promise<boolean> {
        const [now, then] = await Promise.all(
            [table, former].map((name) => this.#db.columns(`select * from ${identifier(name)} limit 0`)),
        );
        if (JSON.stringify(now) !== JSON.stringify(then)) return false;
        const key = concerns.key.map(identifier);
        const [one, other] = [table, former].map((name) => `select * from ${identifier(name)}`);
        await this.#db.run(
            `create or replace temp table changed_keys as
            select ${key.join(', ')} from (${one} except all ${other})
            union
            select ${key.join(', ')} from (${other} except all ${one})`,
        );
        if (concerns.nullIsAll) {
            const isNull = key.map((column) => `${column} is null`).join(' or ');
            const found = await this.#db.cells(`select 1 from changed_keys where ${isNull} limit 1`);
            if (found.length > 0) return false;
        }
        if (this.#concernedTimes === 0) {
            await this.#db.run(`create or replace temp table ${CONCERNED} (chassis varchar)`);
        }
        const same = key.map((column) => `rows.${column} is not distinct from changed_keys.${column}`);
        await this.#db.run(
            `insert into ${CONCERNED}
            select distinct chassis
            from ${identifier(concerns.table)} as rows
            semi join changed_keys on ${same.join(' and ')}`,
        );
        this.#concernedTimes++;
        return true;
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
