import { copyFileSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { tables } from '../src/contracts/tables.js';
import { Database } from '../src/db/database.js';
import { exportFormats, exportTable } from '../src/export/exportTable.js';
import { openModel } from '../src/model/openModel.js';
import { modelFiles } from '../src/model/sqlFile.js';
import { packageRoot } from '../src/packageRoot.js';
import { generator } from './support/mutations.js';
import { nodeOf, nodeVersions } from './support/nodes.js';
import type { PackedProgram } from './support/packedProgram.js';
import { isSame, Shipped } from './support/shipped.js';

/** The unpacked tarball exports every table, on the oldest Node and the newest, the formats and the kinds of database by turns. */

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

/** A table that the program exports, and what it wrote. */
interface Exported {
    line: string;
    table: string;
    file: string;
    content: Buffer | undefined;
    rowCount: unknown;
}

/** Exports each of `names` from one copy of `database`, the formats and the Nodes by turns; tells what failed. */
async function exportsOf(database: string, names: readonly string[]) {
    const own = shipped.newFolder(database);
    const found: string[] = [];
    const exported: Exported[] = [];
    for (const [at, table] of names.entries()) {
        const file = `a file.${exportFormats[at % exportFormats.length]}`;
        const line = `export ${table} --to "${file}" --json`;
        const program = programs[Math.floor(at / exportFormats.length) % programs.length];
        const { status, stdout, stderr, files } = await shipped.packedIn(line, own, program);
        if (status !== 0 || files.size !== 1) found.push(`strutmark ${line}: ${status} ${stderr}`);
        else {
            const rowCount = JSON.parse(stdout).rows[0].row_count;
            exported.push({ line, table, file, content: files.get(file), rowCount });
        }
    }
    return { found, exported };
}

/** What differs from the files that the sources write, on another copy of `database` with all tables made at once. */
async function otherThanSources(database: string, exported: readonly Exported[]): Promise<string[]> {
    const folder = shipped.newFolder(database);
    const db = await openModel(join(folder, 'strutmark.duckdb'), {
        needs: exported.map(({ table }) => table),
        paths: [folder],
    });
    const found: string[] = [];
    for (const { line, table, file, content, rowCount } of exported) {
        const path = join(folder, file);
        if ((await exportTable(db, table, path, folder, true)) !== rowCount)
            found.push(`strutmark ${line}: ${rowCount} rows`);
        if (content === undefined || !isSame(file, content, readFileSync(path)))
            found.push(`strutmark ${line}: not what the sources write`);
    }
    db.close();
    return found;
}

/** All tables in a random order, since what an export makes is there for the next. */
function shuffled(): string[] {
    const random = generator(20261127);
    return exportable
        .map((name) => [random(1e6), name] as const)
        .sort(([one], [other]) => one - other)
        .map(([, name]) => name);
}

async function faultsOf(database: string, names: readonly string[]): Promise<string[]> {
    const { found, exported } = await exportsOf(database, names);
    return [...found, ...(await otherThanSources(database, exported))];
}

test('there is something to export', () => {
    expect(exportable).toEqual(expect.arrayContaining(tables.map(({ kind }) => kind)));
    expect(exportable).toEqual(expect.arrayContaining(modelFiles().map(({ table }) => table)));
});

/** The tables by turns, so that each is exported once, and each kind of database exports a third. */
const turn = (which: number) => shuffled().filter((_, at) => at % 3 === which);

test('tables of a database that was only loaded, as the sources do', async () => {
    expect(await faultsOf(shipped.loaded(), turn(0))).toEqual([]);
});

test('tables of the demo, its season loaded', async () => {
    expect(await faultsOf(demo, turn(1))).toEqual([]);
});

test('tables of a database without rows', async () => {
    expect(await faultsOf(shipped.empty(), turn(2))).toEqual([]);
});
