import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { exportFormats } from '../src/export/exportTable.js';
import { packageRoot } from '../src/packageRoot.js';
import type { PackedProgram } from './support/packedProgram.js';
import { faults, Shipped } from './support/shipped.js';

/** The packed tarball as a user has it. A covering sample; all of it is in shipped.proof.ts. */

let shipped: Shipped;
let program: PackedProgram;
let examples: ReadonlyMap<string, string>;
let loaded: string;
/** Where the program and the sources answer, each on one database for all asks, its tables made. */
let own: string;
let folder: string;

beforeAll(async () => {
    shipped = new Shipped();
    program = shipped.start();
    examples = await shipped.examples(program);
    await shipped.addSites(program);
    loaded = await shipped.loaded(
        program,
        'load kits.csv targets.csv sessions.csv shafts.csv hardware.csv readings.csv',
    );
    own = shipped.newFolder(loaded);
    folder = shipped.newFolder(loaded);
});
afterAll(() => shipped.close());

test('the package: licence, no sources, the program on the path of npm', () => {
    const own = join(shipped.project, 'node_modules', 'strutmark');
    expect(readFileSync(join(own, 'LICENSE'), 'utf8')).toContain('MIT License');
    expect(['src', 'tests', 'bench'].filter((name) => existsSync(join(own, name)))).toEqual([]);
    const names = readdirSync(own).sort();
    expect(names).toEqual(
        'CHANGELOG.md DEVELOPERS.md LICENSE README.md dist docs fixtures package.json reports shared sql'.split(
            ' ',
        ),
    );
    expect(readdirSync(join(own, 'fixtures'))).toEqual(['season']);
    const strange = readdirSync(own, { recursive: true, encoding: 'utf8' }).filter((file) =>
        /\.(map|duckdb|tgz|log)$|(^|\/)\.|(?<!\.d)\.ts$/.test(file),
    );
    expect(strange).toEqual([]);
    const bin = join(shipped.project, 'node_modules', '.bin', 'strutmark');
    const { status, stdout } = spawnSync(bin, ['--version'], { cwd: shipped.project, encoding: 'utf8' });
    const { version } = JSON.parse(readFileSync(join(own, 'package.json'), 'utf8')) as { version: string };
    expect([status, stdout]).toEqual([0, `${version}\n`]);
});

const commands = readdirSync(join(packageRoot(), 'src/cli/commands')).map((file) =>
    file.replace(/\.ts$/, ''),
);

test('every command has an example in its help', () => {
    expect([...examples.keys()].sort()).toEqual(commands.sort());
});

/** Each asked first, and the demo, are left to shipped.proof.ts. */
describe.each(commands.filter((name) => name !== 'demo'))('%s', (name) => {
    test('its example works', async () => {
        const line = examples.get(name)!;
        const packed = await shipped.packedIn(line, own, program);
        expect([0, 3], packed.stderr).toContain(packed.status);
        expect(faults(line, packed, await shipped.sources(line, folder))).toEqual([]);
    });
});

test.each(exportFormats)('export as .%s', async (format) => {
    const line = `export slopes --to "the slopes.${format}"`;
    const packed = await shipped.packedIn(line, own, program);
    expect(packed.files.size).toBe(1);
    expect(faults(line, packed, await shipped.sources(line, folder))).toEqual([]);
});

test('a page, asked first, by a process of its own', async () => {
    const line = 'report audit --out pages';
    const packed = await shipped.packed(line, await shipped.loaded(program));
    expect(faults(line, packed, await shipped.sources(line, folder))).toEqual([]);
});

test('the database elsewhere, from another working directory', () => {
    const { status, stdout } = shipped.run(`slopes --json --db "${join(own, 'strutmark.duckdb')}"`, '/');
    expect(status).toBe(0);
    expect(JSON.parse(stdout).rows.length).toBeGreaterThan(0);
    const lost = shipped.run('slopes', '/');
    expect([lost.status, lost.stderr]).toEqual([
        1,
        expect.stringContaining(`node "${shipped.main}" load FILE`),
    ]);
});
