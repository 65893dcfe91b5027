import { execFileSync, spawnSync } from 'node:child_process';
import { basename, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { listReports } from '../src/report/registry.js';
import { nodeOf, nodeVersions } from './support/nodes.js';
import { tarball } from './support/packed.js';
import type { PackedProgram } from './support/packedProgram.js';
import { type Answer, faults, Shipped } from './support/shipped.js';

/** The tarball, installed by npm into an empty folder: all commands and pages, on the oldest Node and the newest. */

type Kind = 'loaded' | 'demo' | 'empty';

let shipped: Shipped;
let examples: ReadonlyMap<string, string>;
/** The oldest Node, and the newest. */
let nodes: readonly [string, string];
/** The program in one process of each Node, for asks of which none is the first. */
let programs: readonly [PackedProgram, PackedProgram];
/** The demo as the oldest Node makes it, and in which folder. */
let demo: { answer: Answer; folder: string };
/** Databases by what they hold. */
let databases: Readonly<Record<Kind, string>>;
/** Where the sources answer, on one copy of each database for all asks. */
let folders: Readonly<Record<Kind, string>>;

beforeAll(async () => {
    const [oldest, newest] = nodeVersions;
    nodes = [nodeOf(oldest), nodeOf(newest)];
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
    programs = [shipped.start(nodes[0]), shipped.start(nodes[1])];
    examples = await shipped.examples();
    const folder = shipped.newFolder();
    const season = join(folder, 'season', 'season.duckdb');
    demo = { folder, answer: shipped.made(examples.get('demo')!, folder, nodes[0]) };
    databases = { loaded: shipped.loaded(), demo: season, empty: shipped.empty() };
    folders = {
        loaded: shipped.newFolder(databases.loaded),
        demo: shipped.newFolder(databases.demo),
        empty: shipped.newFolder(databases.empty),
    };
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

const isChange = (line: string) => /^(load|forget|rejects) /.test(line);

/**
 * What is wrong with the answers to `lines`, all of one database of that kind by one process of a Node. By turns they are held against
 * those of the sources: with `turn` 0 those of even places, with 1 those of odd ones.
 */
async function faultsTogether(kind: Kind, lines: readonly string[], program: PackedProgram, turn: 0 | 1) {
    const found: string[] = [];
    const own = shipped.newFolder(databases[kind]);
    for (const [at, line] of lines.entries()) {
        const packed = isChange(line)
            ? await shipped.packed(line, databases[kind], program)
            : await shipped.packedIn(line, own, program);
        if (kind !== 'empty' && packed.status !== 0 && packed.status !== 3) found.push(packed.stderr);
        const folder = isChange(line) ? shipped.newFolder(databases[kind]) : folders[kind];
        const isHeld = at % 2 === turn;
        found.push(...faults(line, packed, isHeld ? await shipped.sources(line, folder) : packed));
    }
    return found;
}

describe('examples of the help', () => {
    const lines = () => [...examples.values()].filter((line) => !line.startsWith('demo'));
    /** Those of commands that open the database: the others say the same whatever it holds. */
    const asking = () => lines().filter((line) => !/^(init|map|merge|cautions|completion) /.test(`${line} `));

    // Each thing asked first: askedFirst.proof.
    test('each by a process of its own on the oldest Node, the first of a database that was only loaded', async () => {
        const found: string[] = [];
        const own = shipped.newFolder(databases.loaded);
        for (const line of lines()) {
            const packed = isChange(line)
                ? await shipped.packed(line, databases.loaded, nodes[0])
                : await shipped.packedIn(line, own, nodes[0]);
            if (packed.status !== 0 && packed.status !== 3) found.push(packed.stderr);
            const folder = isChange(line) ? shipped.newFolder(databases.loaded) : folders.loaded;
            found.push(...faults(line, packed, await shipped.sources(line, folder)));
        }
        expect(found).toEqual([]);
    });

    test('of the demo, as JSON, by the newest Node', async () => {
        const asked = asking().map((line) => `${line} --json`);
        expect(await faultsTogether('demo', asked, programs[1], 0)).toEqual([]);
    });

    test('of a database without rows, as text and as JSON by turns', async () => {
        const asked = asking().map((line, at) => (at % 2 === 0 ? line : `${line} --json`));
        expect(await faultsTogether('empty', asked, programs[0], 1)).toEqual([]);
    });

    test('without a database', async () => {
        const found: string[] = [];
        for (const line of lines()) {
            const packed = await shipped.packed(line, undefined, programs[1]);
            found.push(...faults(line, packed, await shipped.sources(line, shipped.newFolder())));
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

describe('pages', () => {
    const names = listReports();

    test('of the demo: all together, the same by both Nodes', async () => {
        const line = examples.get('demo')!;
        expect(demo.answer.status).toBe(0);
        expect(demo.answer.stdout).toContain('are invented');
        expect(demo.answer.files.get('season/slopes.html')!.length).toBeLessThan(1_500_000);
        expect(faults(line, await shipped.packed(line, undefined, programs[1]), demo.answer)).toEqual([]);
    });

    test('of a database that was only loaded: each asked first, as all together by the sources', async () => {
        const sources = await shipped.sources('report --out "all pages"', folders.loaded);
        const found: string[] = [];
        for (const [at, name] of names.entries()) {
            const line = `report ${name} --out pages`;
            const packed = await shipped.packed(line, databases.loaded, programs[at % 2]);
            found.push(...wrongPages(line, packed, sources, [name]));
        }
        expect(found).toEqual([]);
    });

    test('of a database without rows: all', async () => {
        const all = 'report --out "all pages"';
        const own = shipped.newFolder(databases.empty);
        const sources = await shipped.sources(all, folders.empty);
        expect(faults(all, await shipped.packedIn(all, own, programs[1]), sources)).toEqual([]);
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
