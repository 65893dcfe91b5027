import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { exportFormats } from '../src/export/exportTable.js';
import { packageRoot } from '../src/packageRoot.js';
import { faults, Shipped } from './support/shipped.js';

/** The packed tarball as a user has it. A covering sample; all of it is in shipped.proof.ts. */

let shipped: Shipped;
let examples: ReadonlyMap<string, string>;
let loaded: string;
let empty: string;
/** Where the sources answer, on one database for all asks. */
let folder: string;

beforeAll(() => {
    shipped = new Shipped();
    loaded = shipped.loaded();
    empty = shipped.empty();
    folder = shipped.newFolder(loaded);
    examples = shipped.examples();
});
afterAll(() => shipped.close());

test('the package: licence, no sources, the program on the path of npm', () => {
    const own = join(shipped.project, 'node_modules', 'strutmark');
    expect(readFileSync(join(own, 'LICENSE'), 'utf8')).toContain('MIT License');
    expect(['src', 'tests', 'bench'].filter((name) => existsSync(join(own, name)))).toEqual([]);
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

/** The demo is asked in shipped.proof.ts and in cli.test.ts. */
describe.each(commands.filter((name) => name !== 'demo'))('%s', (name) => {
    test('its example works on a database that was only loaded', async () => {
        const line = examples.get(name)!;
        const packed = shipped.packed(line, loaded);
        expect([0, 3], packed.stderr).toContain(packed.status);
        expect(faults(line, packed, await shipped.sources(line, folder))).toEqual([]);
    });

    test('as JSON, on a database without rows', async () => {
        const line = `${examples.get(name)!} --json`;
        const packed = shipped.packed(line, empty);
        expect(faults(line, packed, await shipped.sources(line, shipped.newFolder(empty)))).toEqual([]);
    });
});

test.each([
    'report audit --out pages',
    ...exportFormats.map((format) => `export slopes --to slopes.${format}`),
])('%s, asked first', async (line) => {
    expect(faults(line, shipped.packed(line, loaded), await shipped.sources(line, folder))).toEqual([]);
});
