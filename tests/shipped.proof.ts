import { execFileSync, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { listReports } from '../src/report/registry.js';
import { nodeOf, nodeVersions } from './support/nodes.js';
import { tarball } from './support/packed.js';
import { faults, Shipped } from './support/shipped.js';

/** The tarball, installed by npm into an empty folder: all commands and pages, on the oldest Node and the newest. */

type Kind = 'loaded' | 'demo' | 'empty';

let shipped: Shipped;
let examples: ReadonlyMap<string, string>;
let nodes: readonly string[];
/** Databases by what they hold. */
let databases: Readonly<Record<Kind, string>>;
/** Where the sources answer, on one copy of each database for all asks. */
let folders: Readonly<Record<Kind, string>>;

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

/**
 * What is wrong with the answers to `lines`, each asked first of a database, or all of one where `together`, by the Node at `nodeAt` or
 * by one after the other.
 */
async function faultsOf(kind: Kind, lines: readonly string[], { together = false, nodeAt = -1 } = {}) {
    const found: string[] = [];
    const own = shipped.newFolder(databases[kind]);
    for (const [at, line] of lines.entries()) {
        const node = nodes[nodeAt < 0 ? at % nodes.length : nodeAt];
        const isChange = /^(load|forget|rejects) /.test(line);
        const packed =
            together && !isChange
                ? shipped.packedIn(line, own, node)
                : shipped.packed(line, databases[kind], node);
        if (kind !== 'empty' && packed.status !== 0 && packed.status !== 3) found.push(packed.stderr);
        const folder = isChange ? shipped.newFolder(databases[kind]) : folders[kind];
        found.push(...faults(line, packed, await shipped.sources(line, folder)));
    }
    return found;
}

describe('examples of the help', () => {
    const lines = () => [...examples.values()].filter((line) => !line.startsWith('demo'));

    test('each asked first', async () => {
        expect(await faultsOf('loaded', lines(), { nodeAt: 0 })).toEqual([]);
    });

    test('of the demo, as JSON', async () => {
        const asked = lines().map((line) => `${line} --json`);
        expect(await faultsOf('demo', asked, { together: true, nodeAt: 1 })).toEqual([]);
    });

    test('of a database without rows, as text and as JSON by turns', async () => {
        const asked = lines().map((line, at) => (at % 2 === 0 ? line : `${line} --json`));
        expect(await faultsOf('empty', asked, { together: true, nodeAt: 0 })).toEqual([]);
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
        expect(sources.stdout).toContain('are invented');
        expect(sources.files.get('season/slopes.html')!.length).toBeLessThan(1_500_000);
        for (const node of nodes)
            expect(faults(line, shipped.packed(line, undefined, node), sources)).toEqual([]);
    });
});

describe('pages', () => {
    const lines = [...listReports().map((name) => `report ${name} --out pages`), 'report --out "all pages"'];
    test('each asked first, and all', async () => {
        expect(await faultsOf('loaded', lines)).toEqual([]);
    });

    test.each(['demo', 'empty'] as const)('alone and together, %s', async (kind) => {
        expect(await faultsOf(kind, lines, { together: true })).toEqual([]);
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
