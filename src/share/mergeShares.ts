import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { shareColumns } from '../contracts/share.js';
import { Database, identifier } from '../db/database.js';
import { createSchema, sqlType } from '../db/schema.js';
import { areSmall } from '../db/smallFiles.js';
import { UserError } from '../errors/errors.js';
import { carsTwice, noShare, sameSite } from '../errors/messages.js';
import { createFunctions } from '../model/build.js';
import { buildTable } from '../model/buildTable.js';
import { groundsOf, neededFor } from '../model/dependencies.js';
import { modelFiles, type SqlFile } from '../model/sqlFile.js';
import { countOnce, equalCars } from './equalCars.js';
import { readShare, type ShareCopy } from './readShare.js';
import { type NamedQuery, queriesOf } from './sqlFiles.js';

/** What the answers of merge are read from. */
const answered = ['slopes', 'slope_populations', 'needed_spreads', 'sensitivities'];

/** Copies `files` to `folder`, the only place that SQL may read. */
function copyAll(files: readonly string[], folder: string): ShareCopy[] {
    return files.map((file, i) => {
        const path = join(folder, `${i + 1}.parquet`);
        try {
            copyFileSync(file, path);
        } catch (error) {
            throw new UserError(noShare(file, (error as NodeJS.ErrnoException).code ?? String(error)));
        }
        return { file, path };
    });
}

/** Fills table `shared`; the file of each site, in the order of the files. */
async function readAll(db: Database, copies: readonly ShareCopy[]): Promise<Map<string, string>> {
    const columns = shareColumns.map((column) => `${identifier(column.name)} ${sqlType(column)}`);
    await db.run(`create table shared (kind varchar, ${columns.join(', ')})`);
    const sites = new Map<string, string>();
    for (const copy of copies) {
        const site = await readShare(db, copy);
        const first = sites.get(site);
        if (first !== undefined) throw new UserError(sameSite(first, copy.file));
        sites.set(site, copy.file);
    }
    return sites;
}

/** Refuses cars that stand in table `shared` under two pseudonyms, or counts them once; how many are in table `counted_once`. */
async function settleEqualCars(
    db: Database,
    files: ReadonlyMap<string, string>,
    once: boolean,
): Promise<void> {
    const sites = [...files.keys()];
    const cars = await equalCars(db, sites);
    if (cars.length > 0 && !once) {
        throw new UserError(
            carsTwice(
                cars.map((car) => ({
                    first: { file: files.get(car.first_site)!, vehicle: car.first_vehicle },
                    again: { file: files.get(car.site)!, vehicle: car.vehicle },
                })),
            ),
        );
    }
    await db.run('create table counted_once as select cast($count as integer) as car_count', {
        count: cars.length,
    });
    if (cars.length > 0) await countOnce(db, cars, sites);
}

/** Fills an input or model table from the shared rows; columns that they do not have stay NULL. */
async function fill(db: Database, { name, query }: NamedQuery, model: SqlFile | undefined): Promise<void> {
    await db.run(`create or replace temp table filling as ${query}`);
    if (model !== undefined) {
        const columns = model.columns.map((column) => `${identifier(column.name)} ${column.type}`);
        await db.run(`create or replace table ${identifier(name)} (${columns.join(', ')})`);
    }
    await db.run(`insert into ${identifier(name)} by name select * from filling`);
    await db.run('drop table filling');
}

/** The tables that merge answers from: those that were shared are filled, the others built from them by the files of `sql/`. */
async function buildMerged(db: Database, asked: readonly string[]): Promise<void> {
    const models = modelFiles();
    const fills = queriesOf('merge');
    for (const one of fills) {
        const model = models.find(({ table }) => table === one.name);
        // A query that reads the table that it fills starts from what sql/ makes of those filled before; so do others from priors.
        const { tables } = await groundsOf(db, [one.query]);
        const filled = fills.filter(({ name }) => name !== one.name).map(({ name }) => name);
        for (const read of models.filter(({ table }) => tables.has(table) && !filled.includes(table)))
            await buildTable(db, read);
        await fill(db, one, model);
    }
    const left = models.filter(({ table }) => !fills.some(({ name }) => name === table));
    for (const model of await neededFor(db, asked, left)) await buildTable(db, model);
}

interface MergeOptions {
    threads?: number;
    signal?: AbortSignal | undefined;
    /** Counts cars that stand under two pseudonyms once; without it they are refused. */
    once?: boolean;
    /** Tables to make besides those of slopes and needs. */
    needs?: readonly string[];
}

/**
 * A database in memory with the model of the field that the shared `files` pool: the same tables, by the same SQL, as from the
 * readings themselves. Throws a {@link UserError} on a file that is missing, is no shared file, or is of a site named before, and on
 * cars that stand under two pseudonyms.
 */
export async function mergeShares(
    files: readonly string[],
    { threads, signal, once = false, needs = [] }: MergeOptions = {},
): Promise<Database> {
    const folder = mkdtempSync(join(tmpdir(), 'strutmark-merge-'));
    let db: Database | undefined;
    try {
        const copies = copyAll(files, folder);
        db = await Database.open({
            file: ':memory:',
            mode: 'create',
            paths: [folder],
            signal,
            threads: threads ?? (areSmall(...files) ? 1 : undefined),
        });
        await createFunctions(db);
        await createSchema(db);
        await settleEqualCars(db, await readAll(db, copies), once);
        await buildMerged(db, [...answered, ...needs]);
        return db;
    } catch (error) {
        db?.close();
        throw error;
    } finally {
        rmSync(folder, { recursive: true, force: true });
    }
}
