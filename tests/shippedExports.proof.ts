import { copyFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { tables } from '../src/contracts/tables.js';
import { Database } from '../src/db/database.js';
import { exportFormats } from '../src/export/exportTable.js';
import { modelFiles } from '../src/model/sqlFile.js';
import { packageRoot } from '../src/packageRoot.js';
import { generator } from './support/mutations.js';
import { nodeOf, nodeVersions } from './support/nodes.js';
import type { PackedProgram } from './support/packedProgram.js';
import { faults, Shipped } from './support/shipped.js';

/** The unpacked tarball exports every table, on the oldest Node and the newest. */

let shipped: Shipped;
let programs: readonly PackedProgram[];
let demo: string;
let exportable: string[];

beforeAll(async () => {
    shipped = new Shipped();
    programs = nodeVersions.map((version) => shipped.start(nodeOf(version)));
    const season = shipped.newFolder();
    const files = readdirSync(join(packageRoot(), 'fixtures', 'season')).filter((name) =>
        name.endsWith('.csv'),
    );
    for (const name of files)
        copyFileSync(join(packageRoot(), 'fixtures', 'season', name), join(season, name));
    shipped.must(`load ${files.join(' ')}`, season);
    demo = join(season, 'strutmark.duckdb');
    const db = await Database.open({ file: demo, mode: 'read' });
    const there = await db.cells(
        "select distinct table_name as name from duckdb_columns() where schema_name = 'main' and not internal",
    );
    db.close();
    const names = [...there.map(({ name }) => String(name)), ...modelFiles().map(({ table }) => table)];
    // What table build holds depends on what was asked before.
    exportable = [...new Set(names)].filter((name) => name !== 'build').sort();
});
afterAll(() => shipped.close());

/** Exports each of `names` from one copy of `database`, the formats by turns, each by both Nodes; compares with the sources where `compare`. */
async function faultsOf(database: string, names: readonly string[], compare: boolean) {
    const [own, folder] = [shipped.newFolder(database), shipped.newFolder(database)];
    const found: string[] = [];
    for (const [at, table] of names.entries()) {
        const line = `export ${table} --to "a file.${exportFormats[at % exportFormats.length]}"`;
        const packed = await shipped.packedIn(
            line,
            own,
            programs[Math.floor(at / exportFormats.length) % programs.length],
        );
        if (packed.status !== 0 || packed.files.size !== 1) found.push(`strutmark ${line}: ${packed.stderr}`);
        if (compare) found.push(...faults(line, packed, await shipped.sources(line, folder)));
    }
    return found;
}

/** Every other table, from `start`, in a random order, since what an export makes is there for the next. */
function half(start: 0 | 1): string[] {
    const random = generator(20261127);
    return exportable
        .filter((_, at) => at % 2 === start)
        .map((name) => [random(1e6), name] as const)
        .sort(([one], [other]) => one - other)
        .map(([, name]) => name);
}

test('there is something to export', () => {
    expect(exportable).toEqual(expect.arrayContaining(tables.map(({ kind }) => kind)));
    expect(exportable).toEqual(expect.arrayContaining(modelFiles().map(({ table }) => table)));
});

test('every table of the demo, as the sources do', async () => {
    expect(await faultsOf(demo, exportable, true)).toEqual([]);
});

test('every other table of a database that was only loaded', async () => {
    expect(await faultsOf(shipped.loaded(), half(0), false)).toEqual([]);
});

test('the others, of a database without rows', async () => {
    expect(await faultsOf(shipped.empty(), half(1), false)).toEqual([]);
});
