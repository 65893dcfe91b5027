import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { tables } from '../../src/contracts/tables.js';
import { Database } from '../../src/db/database.js';
import { createSchema } from '../../src/db/schema.js';
import { stagingFolder } from '../../src/export/exportTable.js';
import { ensureModel } from '../../src/model/build.js';
import { shareNeeds, writeShare } from '../../src/share/writeShare.js';
import { insertRows, kept, type Rows, spareDatabase, stateOf } from './memory.js';

export type Input = Readonly<Record<string, Rows>>;

/** A folder with the keys and the shared files of invented sites. */
export interface SitesBench {
    folder: string;
    /** Writes the share of `input` as `site`'s and returns the file. */
    share(site: string, input: Input, options?: { threads?: number; name?: string }): Promise<string>;
    close(): void;
}

/** An empty database in memory that may write into `folder`. */
async function siteDatabase(folder: string, threads: number | undefined): Promise<Database> {
    const db = await Database.open({
        file: ':memory:',
        mode: 'create',
        paths: [folder],
        ...(threads === undefined ? {} : { threads }),
    });
    await createSchema(db);
    return db;
}

export function sitesBench(): SitesBench {
    const folder = mkdtempSync(join(tmpdir(), 'sites-'));
    return {
        folder,
        share: async (site, input, { threads, name = `${site}.parquet` } = {}) => {
            const file = join(folder, name);
            const staging = stagingFolder(file);
            const key = JSON.stringify([folder, threads]);
            const db = (await spareDatabase(key)) ?? (await siteDatabase(folder, threads));
            try {
                let rowCount = 0;
                for (const { kind } of tables) {
                    const rows = input[kind] ?? [];
                    if (rows.length > 0) await insertRows(db, kind, rows);
                    rowCount += rows.length;
                }
                await ensureModel(db, shareNeeds(), stateOf(input));
                kept(db, key, rowCount);
                await writeShare(db, join(folder, `${site}.key`), file, staging);
            } finally {
                db.close();
                rmSync(staging, { recursive: true, force: true });
            }
            return file;
        },
        close: () => rmSync(folder, { recursive: true }),
    };
}

/** `readings` dealt out to sites by vehicle, in turn. */
export function dealt(readings: Rows, sites: readonly string[]): Map<string, Rows> {
    const siteOf = new Map<unknown, string>();
    for (const { vehicle } of readings) {
        if (!siteOf.has(vehicle)) siteOf.set(vehicle, sites[siteOf.size % sites.length]!);
    }
    return new Map(sites.map((site) => [site, readings.filter((row) => siteOf.get(row.vehicle) === site)]));
}

/** The readings of all sites as one owner of all would hold them: cars, visits, gauges and kits of two sites are not the same ones. */
export function pooled(readings: ReadonlyMap<string, Rows>): Rows {
    return [...readings].flatMap(([site, rows]) =>
        rows.map((row) => ({
            ...row,
            vehicle: `${site} ${row.vehicle}`,
            visit: `${site} ${row.visit}`,
            kit: row.kit === null || row.kit === undefined || row.kit === '' ? null : `${site} ${row.kit}`,
            gauge:
                row.gauge === null || row.gauge === undefined || row.gauge === ''
                    ? null
                    : `${site} ${row.gauge}`,
        })),
    );
}
