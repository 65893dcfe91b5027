import { execFile, execFileSync, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { tables } from '../src/contracts/tables.js';
import { Database } from '../src/db/database.js';
import { exportFormats, exportTable } from '../src/export/exportTable.js';
import { documentedColumns } from '../src/model/columnTexts.js';
import { openModel } from '../src/model/openModel.js';
import { modelFiles } from '../src/model/sqlFile.js';
import { listReports } from '../src/report/registry.js';
import { generator } from './support/mutations.js';
import { nodeOf, nodeVersions } from './support/nodes.js';
import { tarball } from './support/packed.js';
import type { PackedProgram } from './support/packedProgram.js';
import { type Answer, faults, isSame, newProject, Shipped } from './support/shipped.js';

/** The tarball, installed by npm into an empty folder: all commands, pages and tables, on the oldest Node and the newest. */

type Kind = 'loaded' | 'demo' | 'empty';

let shipped: Shipped;
let examples: ReadonlyMap<string, string>;
/** The oldest Node, and the newest. */
let nodes: readonly [string, string];
/** The program in one process of each Node, for asks of which none is the first. */
let programs: readonly [PackedProgram, PackedProgram];
/** The demo as the oldest Node makes it, in which folder, and as the newest does. */
let demo: { answer: Answer; folder: string; again: Answer };
/** Databases by what they hold. */
let databases: Readonly<Record<Kind, string>>;
/** Where the program and the sources answer, each on one copy of each database for all asks. */
let own: Readonly<Record<Kind, string>>;
let folders: Readonly<Record<Kind, string>>;

beforeAll(async () => {
    const [oldest, newest] = nodeVersions;
    const project = newProject();
    const words = ['install', '--prefer-offline', '--no-audit', '--no-fund', tarball()];
    // At once: most of it is waiting.
    const fetched = await Promise.all([
        nodeOf(oldest),
        nodeOf(newest),
        promisify(execFile)('npm', words, { cwd: project }),
    ]);
    nodes = [fetched[0], fetched[1]];
    expect(nodes.map((node) => execFileSync(node, ['--version'], { encoding: 'utf8' }).trim())).toEqual(
        nodeVersions.map((version) => `v${version}`),
    );
    const main = join(project, 'node_modules', 'strutmark', 'dist', 'src', 'cli', 'main.js');
    shipped = new Shipped(project, main);
    programs = [shipped.start(nodes[0]), shipped.start(nodes[1])];
    examples = await shipped.examples(programs[1]);
    await shipped.addSites(programs[1]);
    const folder = shipped.newFolder();
    const season = join(folder, 'season', 'season.duckdb');
    const line = examples.get('demo')!;
    // A program that was started answers one line after the other.
    const [answer, again, [loaded, empty]] = await Promise.all([
        shipped.made(line, folder, nodes[0]),
        shipped.packed(line, undefined, programs[1]),
        shipped
            .loaded(programs[0])
            .then(async (loaded) => [loaded, await shipped.empty(programs[0])] as const),
    ]);
    demo = { folder, answer, again };
    databases = { loaded, demo: season, empty };
    const copies = () => ({
        loaded: shipped.newFolder(databases.loaded),
        demo: shipped.newFolder(databases.demo),
        empty: shipped.newFolder(databases.empty),
    });
    [own, folders] = [copies(), copies()];
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
    expect(examples.size).toBeGreaterThan(16);
});

const isChange = (line: string) => line.startsWith('load ');

/** What the sources answered, by the line: of commands that open no database, asked once. */
const same = new Map<string, Promise<Answer>>();
const opensNone = (line: string) => /^(init|map|merge|cautions|completion) /.test(`${line} `);

function sourcesOf(line: string, folder: string): Promise<Answer> {
    if (!opensNone(line)) return shipped.sources(line, folder);
    if (!same.has(line)) same.set(line, shipped.sources(line, folder));
    return same.get(line)!;
}

/** Those that take long, in the sources too. */
const isDear = (line: string) => /^(load|report|serve|share) /.test(line);

/**
 * What is wrong with the answers to `lines`, all of one database of that kind by one process of a Node. Those of even places, with `turn` 0,
 * or of odd ones, with 1, are held against those of the sources; the dear ones only on the database that was loaded, or on none.
 */
async function faultsTogether(kind: Kind, lines: readonly string[], program: PackedProgram, turn: 0 | 1) {
    const found: string[] = [];
    for (const [at, line] of lines.entries()) {
        const isHeld = at % 2 === turn && !isDear(line);
        const [packed, sources] = await Promise.all([
            isChange(line)
                ? shipped.packed(line, databases[kind], program)
                : shipped.packedIn(line, own[kind], program),
            isHeld ? shipped.sources(line, folders[kind]) : undefined,
        ]);
        if (kind !== 'empty' && packed.status !== 0 && packed.status !== 3) found.push(packed.stderr);
        found.push(...faults(line, packed, sources ?? packed));
    }
    return found;
}

/** What both answer to `line`, at once but where both would take one port. */
async function answersOf<T>(
    line: string,
    packed: () => Promise<Answer>,
    sources: () => Promise<T>,
): Promise<[Answer, T]> {
    if (line.startsWith('serve ')) return [await packed(), await sources()];
    return Promise.all([packed(), sources()]);
}

describe('examples of the help', () => {
    const lines = () => [...examples.values()].filter((line) => !line.startsWith('demo'));
    /** Those of commands that open the database: the others say the same whatever it holds. */
    const asking = () => lines().filter((line) => !opensNone(line));

    // Each thing asked first: askedFirst.proof. All lines held against the sources, by one Node: shipped.test.
    test('each by a process of its own on the oldest Node, the first of a database that was only loaded', async () => {
        const found: string[] = [];
        for (const line of lines()) {
            // What load says is held against the sources where there is no database.
            const isHeld = !isChange(line) && (isDear(line) || asking().indexOf(line) % 2 !== 1);
            const [packed, sources] = await answersOf(
                line,
                () =>
                    isChange(line)
                        ? shipped.packed(line, databases.loaded, nodes[0])
                        : shipped.packedIn(line, own.loaded, nodes[0]),
                async () => (isHeld ? sourcesOf(line, folders.loaded) : undefined),
            );
            if (packed.status !== 0 && packed.status !== 3) found.push(packed.stderr);
            found.push(...faults(line, packed, sources ?? packed));
        }
        expect(found).toEqual([]);
    });

    test('of the demo, as JSON, by the newest Node', async () => {
        const asked = asking().map((line) => `${line} --json`);
        expect(await faultsTogether('demo', asked, programs[1], 1)).toEqual([]);
    });

    test('of a database without rows, as text and as JSON by turns', async () => {
        const asked = asking().map((line, at) => (at % 2 === 0 ? line : `${line} --json`));
        expect(await faultsTogether('empty', asked, programs[0], 0)).toEqual([]);
    });

    test('without a database', async () => {
        const found: string[] = [];
        for (const line of lines()) {
            const [packed, sources] = await answersOf(
                line,
                () => shipped.packed(line, undefined, programs[1]),
                () => sourcesOf(line, shipped.newFolder()),
            );
            found.push(...faults(line, packed, sources));
        }
        expect(found).toEqual([]);
    });
});

/** A page without links to others: which pages stand beside it depends on what else was asked. */
const linkless = (page: Buffer) =>
    page
        .toString()
        .replace(/<nav class="pages".*?<\/nav>/s, '')
        .replace(/ ?<a href="[\w-]+\.html[^"]*">(.*?)<\/a>/g, (link, text: string) =>
            link.startsWith(' ') ? '' : text,
        );

/** What is wrong with pages, where `pages` are those that the sources wrote at once. */
function wrongPages(
    line: string,
    { status, stderr, files }: Answer,
    pages: Answer,
    names: readonly string[],
) {
    const found = status === 0 ? [] : [`strutmark ${line}: ${stderr}`];
    const written = new Map([...files].map(([path, content]) => [basename(path), content]));
    if (
        [...written.keys()].sort().join() !==
        names
            .map((name) => `${name}.html`)
            .sort()
            .join()
    )
        found.push(`strutmark ${line}: writes ${[...written.keys()]}`);
    for (const [path, content] of pages.files) {
        const page = written.get(basename(path));
        if (page !== undefined && linkless(page) !== linkless(content))
            found.push(`strutmark ${line}: ${path} is not what the sources write`);
    }
    return found;
}

/** A table that the program exports, and what it wrote. */
interface Exported {
    line: string;
    table: string;
    file: string;
    content: Buffer | undefined;
    rowCount: unknown;
}

/** What the program exports of `table` in `folder`, the formats and the Nodes by turns; or what failed. */
async function exportOf(table: string, at: number, folder: string): Promise<Exported | string> {
    const file = `a file.${exportFormats[at % exportFormats.length]}`;
    const line = `export ${table} --to "${file}" --json`;
    const program = programs[Math.floor(at / exportFormats.length) % programs.length];
    const { status, stdout, stderr, files } = await shipped.packedIn(line, folder, program);
    if (status !== 0 || files.size !== 1) return `strutmark ${line}: ${status} ${stderr}`;
    return { line, table, file, content: files.get(file), rowCount: JSON.parse(stdout).rows[0].row_count };
}

/** What differs from the files that the sources write in `folder`, all tables made at once. */
async function otherThanSources(folder: string, exported: readonly Exported[]): Promise<string[]> {
    const db = await openModel(join(folder, 'strutmark.duckdb'), {
        needs: exported.map(({ table }) => table),
        paths: [folder],
    });
    const found: string[] = [];
    for (const { line, table, file, content, rowCount } of exported) {
        const path = join(folder, file);
        if (
            (await exportTable(db, table, path, folder, {
                overwrite: true,
                texts: documentedColumns(table),
            })) !== rowCount
        )
            found.push(`strutmark ${line}: ${rowCount} rows`);
        if (content === undefined || !isSame(file, content, readFileSync(path)))
            found.push(`strutmark ${line}: not what the sources write`);
    }
    db.close();
    return found;
}

/** All of `things` in a random order, since what one makes is there for the next. */
function shuffled<T>(things: readonly T[]): T[] {
    const random = generator(20261127);
    return things
        .map((thing) => [random(1e6), thing] as const)
        .sort(([one], [other]) => one - other)
        .map(([, thing]) => thing);
}

/** Every table by turns, so that each is exported once, and each kind of database exports a third. */
async function tablesOf(which: 0 | 1 | 2): Promise<string[]> {
    const db = await Database.open({ file: databases.demo, mode: 'read' });
    const there = await db.cells(
        "select distinct table_name as name from duckdb_columns() where schema_name = 'main' and not internal",
    );
    db.close();
    const names = [...there.map(({ name }) => String(name)), ...modelFiles().map(({ table }) => table)];
    expect(names).toEqual(expect.arrayContaining(tables.map(({ kind }) => kind)));
    // What build holds depends on what was asked before, so does rejects, which names the file that its example wrote.
    const exportable = [...new Set(names)].filter((name) => name !== 'build' && name !== 'rejects').sort();
    const third = shuffled(exportable).filter((_, at) => at % 3 === which);
    return which === 0 ? [...third, 'rejects'] : third;
}

/**
 * What is wrong with `tables`, and with each page alone where `pages` are those that the sources wrote at once, asked in a random order of
 * the database in `folder`.
 */
async function faultsOf(kind: Kind, folder: string, tables: readonly string[], pages?: Promise<Answer>) {
    const found: string[] = [];
    const exported: Exported[] = [];
    const asked = [
        ...tables.map((table) => ({ table })),
        ...(pages === undefined ? [] : listReports().map((page) => ({ page }))),
    ];
    for (const [at, one] of shuffled(asked).entries()) {
        if ('page' in one) {
            const line = `report ${one.page} --out pages`;
            const packed = await shipped.packedIn(line, folder, programs[at % 2]);
            found.push(...wrongPages(line, packed, (await pages)!, [one.page]));
        } else {
            const answer = await exportOf(one.table, at, folder);
            if (typeof answer === 'string') found.push(answer);
            else exported.push(answer);
        }
    }
    return [...found, ...(await otherThanSources(folders[kind], exported))];
}

describe('pages and tables', () => {
    test('of the demo: all pages together, the same by both Nodes', () => {
        const line = examples.get('demo')!;
        expect(demo.answer.status).toBe(0);
        expect(demo.answer.stdout).toContain('are invented');
        expect(demo.answer.files.get('season/slopes.html')!.length).toBeLessThan(1_500_000);
        expect(faults(line, demo.again, demo.answer)).toEqual([]);
    });

    test('of the demo: tables', async () => {
        expect(await faultsOf('demo', own.demo, await tablesOf(1))).toEqual([]);
    });

    test('of a database that was only loaded: pages alone and tables, none asked before', async () => {
        const fresh = shipped.newFolder(databases.loaded);
        const pages = shipped.sources('report --out "all pages"', folders.loaded);
        expect(await faultsOf('loaded', fresh, await tablesOf(0), pages)).toEqual([]);
    });

    test('of a database without rows: all pages, and tables', async () => {
        const all = 'report --out "all pages"';
        const [packed, sources] = await Promise.all([
            shipped.packedIn(all, own.empty, programs[1]),
            shipped.sources(all, folders.empty),
        ]);
        expect(faults(all, packed, sources)).toEqual([]);
        expect(await faultsOf('empty', own.empty, await tablesOf(2))).toEqual([]);
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
