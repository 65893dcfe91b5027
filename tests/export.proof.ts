import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { tableFromIPC } from 'apache-arrow';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Database } from '../src/db/database.js';
import { createSchema } from '../src/db/schema.js';
import { exportTable, stagingFolder } from '../src/export/exportTable.js';
import { ensureModel } from '../src/model/build.js';
import { documentedColumns } from '../src/model/columnTexts.js';
import { insertRows } from './support/memory.js';

const folder = mkdtempSync(join(tmpdir(), 'export-'));
let db: Database;
const readings = [
    {
        vehicle: '=1+1',
        chassis: 'X',
        corner: 'FL',
        measured_at: '2026-01-01',
        visit: 'v',
        visit_kind: 'check',
        phase: 'before',
        camber_deg: -1.25,
        note: "'@cell",
    },
    {
        vehicle: 'B, "b"',
        chassis: 'X',
        corner: 'FR',
        measured_at: '2026-01-02T10:00',
        visit: 'v',
        visit_kind: 'check',
        phase: 'before',
        camber_deg: null,
        caster_deg: 6.5,
        note: '-1 on the left',
    },
];

beforeAll(async () => {
    // A second opener cannot widen what an open database may touch, so the folder is granted as a whole here.
    db = await Database.open({ file: join(folder, 'x.duckdb'), mode: 'create', paths: [folder] });
    await createSchema(db);
    await insertRows(db, 'readings', readings);
    await ensureModel(db);
});
afterAll(() => {
    db.close();
    rmSync(folder, { recursive: true });
});

async function written(table: string, name: string): Promise<string> {
    const file = join(folder, name);
    const staging = stagingFolder(file);
    try {
        await exportTable(db, table, file, staging, {
            texts: documentedColumns(table),
        });
    } finally {
        rmSync(staging, { recursive: true });
    }
    return file;
}

test('csv: a spreadsheet runs nothing, and one apostrophe off restores every text', async () => {
    const file = await written('readings', 'readings.csv');
    const [header, ...lines] = readFileSync(file, 'utf8').trim().split('\n');
    expect(header!.split(',').slice(0, 3)).toEqual(['vehicle', 'chassis', 'corner']);
    expect(lines.join('\n')).not.toMatch(/(^|,)"?[=+@]/m);
    expect(lines.some((line) => line.startsWith("'=1+1,"))).toBe(true);
    const back = await db.cells(
        `select regexp_replace(note, '^''(''*[=+@-])', '\\1') as note, regexp_replace(vehicle, '^''(''*[=+@-])', '\\1') as vehicle, camber_deg
        from read_csv($file, all_varchar = true, header = true)`,
        { file },
    );
    expect(back.map((row) => row.note).sort()).toEqual(["'@cell", '-1 on the left']);
    expect(back.map((row) => row.vehicle).sort()).toEqual(['=1+1', 'B, "b"']);
    expect(back.find((row) => row.note === "'@cell")!.camber_deg).toBe('-1.25');
});

test('arrow: typed columns, NULLs, and units and descriptions in the field metadata', async () => {
    const table = tableFromIPC(readFileSync(await written('readings', 'readings.arrow')));
    expect(table.numRows).toBe(2);
    const camber = table.schema.fields.find((field) => field.name === 'camber_deg')!;
    expect(camber.metadata.get('unit')).toBe('deg');
    expect(camber.metadata.get('description')).toContain('top of the wheel');
    expect(String(camber.type)).toBe('Float64');
    expect([...table.getChild('camber_deg')!].sort()).toEqual([-1.25, null]);
    expect([...table.getChild('vehicle')!]).toEqual(['=1+1', 'B, "b"']);
});

test('arrow and parquet as another implementation of Arrow reads them', async () => {
    const { readParquet } = await import('parquet-wasm/node');
    const parquet = readParquet(
        new Uint8Array(readFileSync(await written('slopes', 'slopes.parquet'))),
    ).intoIPCStream();
    const fromParquet = tableFromIPC(parquet);
    const fromArrow = tableFromIPC(readFileSync(await written('slopes', 'slopes.arrow')));
    expect(fromParquet.numRows).toBe(8);
    const shrunk = fromArrow.schema.fields.find(({ name }) => name === 'shrunk_deg_per_mm')!;
    expect(shrunk.metadata.get('unit')).toBe('deg/mm');
    expect(shrunk.metadata.get('description')).toMatch(/\w/);
    const plain = tableFromIPC(readFileSync(await written('state_pairs', 'state_pairs.arrow')));
    expect(plain.schema.fields.every(({ metadata }) => metadata.has('description'))).toBe(true);
    for (const name of ['chassis', 'response', 'shrunk_deg_per_mm', 'estimate_deg_per_mm']) {
        expect([...fromArrow.getChild(name)!]).toEqual([...fromParquet.getChild(name)!]);
    }
});

test('json: an array of objects', async () => {
    const rows = JSON.parse(readFileSync(await written('angle_priors', 'priors.json'), 'utf8'));
    expect(rows).toHaveLength(4);
    expect(rows[0]).toHaveProperty('mean_out');
});

/** Each table as text and as columns, the two of both by turns; shipped.proof.ts exports each in a format too. */
const pairs = [
    ['csv', 'arrow'],
    ['json', 'parquet'],
] as const;

test('every table of the model is exported, in two formats by turns', async () => {
    const tables = await db.cells(
        "select table_name as name from duckdb_tables() where schema_name = 'main'",
    );
    for (const [at, { name }] of tables.entries()) {
        for (const format of pairs[at % 2]!) {
            expect(statSync(await written(String(name), `all-${name}.${format}`)).size).toBeGreaterThan(0);
        }
    }
});

test('an unknown ending and an unknown table say what is known', async () => {
    await expect(written('readings', 'a.xls')).rejects.toThrow('.csv, .parquet, .arrow, .json');
    await expect(written('nothing', 'a.csv')).rejects.toThrow(/no table "nothing".*known: .*moves/s);
});
