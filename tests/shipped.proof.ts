import { execFileSync, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { tables } from '../src/contracts/tables.js';
import { Database } from '../src/db/database.js';
import { exportFormats } from '../src/export/exportTable.js';
import { modelFiles } from '../src/model/sqlFile.js';
import { listReports } from '../src/report/registry.js';
import { generator } from './support/mutations.js';
import { nodeOf, nodeVersions } from './support/nodes.js';
import { tarball } from './support/packed.js';
import { faults, Shipped } from './support/shipped.js';

/** The tarball, installed by npm into an empty folder: all commands, pages, formats and tables, on the oldest Node and the newest. */

let shipped: Shipped;
let examples: ReadonlyMap<string, string>;
let nodes: readonly string[];
/** Databases by what they hold. */
let databases: Readonly<Record<'loaded' | 'demo' | 'empty', string>>;
/** Where the sources answer, on one copy of each database for all asks. */
let folders: Readonly<Record<'loaded' | 'demo' | 'empty', string>>;
let exportable: string[];

beforeAll(async () => {
    nodes = nodeVersions.map(nodeOf);
    expect(nodes.map((node) => execFileSync(node, ['--version'], { encoding: 'utf8' }).trim())).toEqual(
        nodeVersions.map((version) => `v${version}`),
    );
    shipped = new Shipped((project) => {
        execFileSync('npm', ['install', '--no-audit', '--no-fund', tarball()], {
            cwd: project,
            stdio: 'ignore',
        });
        return join(project, 'node_modules', 'strutmark', 'dist', 'src', 'cli', 'main.js');
    });
    const season = shipped.newFolder();
    shipped.must('demo --out season', season);
    databases = {
        loaded: shipped.loaded(),
        demo: join(season, 'season', 'season.duckdb'),
        empty: shipped.empty(),
    };
    folders = {
        loaded: shipped.newFolder(databases.loaded),
        demo: shipped.newFolder(databases.demo),
        empty: shipped.newFolder(databases.empty),
    };
    examples = shipped.examples();
    const db = await Database.open({ file: databases.demo, mode: 'read' });
    const there = await db.cells(
        "select distinct table_name as name from duckdb_columns() where schema_name = 'main' and not internal",
    );
    db.close();
    const names = [...there.map(({ name }) => String(name)), ...modelFiles().map(({ table }) => table)];
    // What table build holds depends on what was asked before.
    exportable = [...new Set(names)].filter((name) => name !== 'build').sort();
});
afterAll(() => shipped.close());

test('npx finds the program in the project, and hints name it so', () => {
    const { status, stdout } = spawnSync('npx', ['--no', 'strutmark', 'slopes', '--help'], {
        cwd: shipped.project,
        encoding: 'utf8',
    });
    expect(status).toBe(0);
    expect(stdout).toContain('npx strutmark slopes --chassis');
});

test('there is something to ask', () => {
    expect(exportable).toEqual(expect.arrayContaining(tables.map(({ kind }) => kind)));
    expect(exportable.length).toBeGreaterThan(100);
    expect(examples.size).toBeGreaterThan(16);
});

/** What is wrong with the answers to `lines`, each asked first of a database, by the Node at `nodeAt` or by one after the other. */
async function faultsOf(kind: 'loaded' | 'demo' | 'empty', lines: readonly string[], nodeAt?: number) {
    const found: string[] = [];
    for (const [at, line] of lines.entries()) {
        const packed = shipped.packed(line, databases[kind], nodes[nodeAt ?? at % nodes.length]);
        if (kind !== 'empty' && packed.status !== 0 && packed.status !== 3) found.push(packed.stderr);
        const folder = /^(load|forget|rejects) /.test(line)
            ? shipped.newFolder(databases[kind])
            : folders[kind];
        found.push(...faults(line, packed, await shipped.sources(line, folder)));
    }
    return found;
}

describe('examples of the help', () => {
    test.each([
        ['loaded', 0],
        ['demo', 1],
        ['empty', 0],
    ] as const)('%s', async (kind, nodeAt) => {
        const lines = [...examples.values()].filter((line) => !line.startsWith('demo'));
        expect(await faultsOf(kind, lines, nodeAt)).toEqual([]);
    });

    test('as JSON, on one database without rows', async () => {
        const [own, folder] = [shipped.newFolder(databases.empty), shipped.newFolder(databases.empty)];
        const found: string[] = [];
        for (const [name, line] of examples) {
            if (name === 'demo') continue;
            const packed = shipped.packedIn(`${line} --json`, own);
            found.push(...faults(line, packed, await shipped.sources(`${line} --json`, folder)));
        }
        expect(found).toEqual([]);
    });

    test('without a database', async () => {
        const found: string[] = [];
        for (const [name, line] of examples) {
            if (name === 'demo') continue;
            const packed = shipped.packed(line, undefined, nodes[1]);
            found.push(...faults(line, packed, await shipped.sources(line, shipped.newFolder())));
        }
        expect(found).toEqual([]);
    });

    test('demo', async () => {
        const line = examples.get('demo')!;
        const sources = await shipped.sources(line, shipped.newFolder());
        expect(sources.status).toBe(0);
        for (const node of nodes)
            expect(faults(line, shipped.packed(line, undefined, node), sources)).toEqual([]);
    });
});

describe('pages', () => {
    const alone = listReports().map((name) => `report ${name} --out pages`);
    const all = 'report --out "all pages"';
    test.each(['loaded', 'demo', 'empty'] as const)('alone and together, %s', async (kind) => {
        expect(await faultsOf(kind, [...alone, all])).toEqual([]);
    });
});

describe('exports', () => {
    /** Exports each of `asked` from one copy of the database. */
    async function exported(
        kind: 'loaded' | 'demo' | 'empty',
        asked: readonly (readonly [string, string])[],
    ) {
        const folder = shipped.newFolder(databases[kind]);
        const found: string[] = [];
        for (const [at, [table, format]] of asked.entries()) {
            const line = `export ${table} --to "a file.${format}"`;
            const packed = shipped.packedIn(line, folder, nodes[at % nodes.length]);
            if (packed.status !== 0) found.push(`strutmark ${line}: ${packed.stderr}`);
            found.push(...faults(line, packed, await shipped.sources(line, folders[kind])));
        }
        return found;
    }

    test('every table of the demo, the formats by turns', async () => {
        expect(
            await exported(
                'demo',
                exportable.map((table, at) => [table, exportFormats[at % exportFormats.length]!] as const),
            ),
        ).toEqual([]);
    });

    test.each(['loaded', 'empty'] as const)('every table, in a random order, %s', async (kind) => {
        const random = generator(20261127);
        const order = exportable
            .map((table) => [random(1e6), table] as const)
            .sort(([one], [other]) => one - other)
            .map(([, table], at) => [table, exportFormats[at % exportFormats.length]!] as const);
        expect(await exported(kind, order)).toEqual([]);
    });
});

test('the database elsewhere, from another working directory', async () => {
    const folder = shipped.newFolder(databases.loaded);
    const { status, stdout } = shipped.run(
        `slopes --json --db "${join(folder, 'strutmark.duckdb')}"`,
        '/',
        nodes[0],
    );
    const sources = await shipped.sources('slopes --json', folders.loaded);
    expect(status).toBe(0);
    const rowsOf = (text: string) => JSON.parse(text).rows;
    expect(rowsOf(stdout)).toEqual(rowsOf(sources.stdout));
    const lost = shipped.run('slopes', '/', nodes[1]);
    expect(lost.status).toBe(1);
    expect(lost.stderr).toContain(`node "${shipped.main}" load FILE`);
});
