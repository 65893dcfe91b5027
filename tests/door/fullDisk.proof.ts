import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { diskFullMeanwhile } from '../../src/errors/databaseMessages.js';
import { diskFull } from '../../src/errors/loadMessages.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { Program } from '../support/program.js';
import { readingsFile, wholeFiles } from '../support/wholeFiles.js';

/** A disk is full, or a file may not grow: a small disk where the machine lets us mount one, and `ulimit -f` on any. */

let folder: string;
let program: Program;
let files: string[];
let large: string;
const mounted: string[] = [];

beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    program = Program.make();
    files = ['a', 'b', 'c', 'd'].map((name) => readingsFile(folder, name, 4000));
    large = readingsFile(folder, 'large', 20_000);
});
afterAll(() => {
    for (const path of mounted) execFileSync('umount', [path]);
    program.close();
    rmSync(folder, { recursive: true });
});

/** A new folder on a disk of its own of `kilobytes`, where that is permitted. */
function smallDisk(name: string, kilobytes: number): { path: string; isSmall: boolean } {
    const path = join(folder, name);
    mkdirSync(path);
    try {
        execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${kilobytes}k`, 'tmpfs', path], {
            stdio: 'ignore',
        });
        mounted.push(path);
        return { path, isSmall: true };
    } catch {
        return { path, isSmall: false };
    }
}

const load = (database: string, shell: string, taken = files) =>
    program.run(['load', '--later', ...taken, '--db', database], folder, shell);

/** What was taken before is whole; with room again the rest is taken. */
async function checkAndMend(database: string, atLeast: number): Promise<void> {
    const there = existsSync(database) ? (await wholeFiles(database)).size : 0;
    expect(there).toBeGreaterThanOrEqual(atLeast);
    expect(there).toBeLessThan(files.length);
    const { rows } = await loadFiles(files, database);
    expect(rows.filter((row) => row.loaded_count > 0).length).toBe(files.length - there);
    expect((await wholeFiles(database)).size).toBe(files.length);
}

test.each([
    ['while the database is made', 600, 0],
    ['while rows are taken', 1200, 0],
    ['behind the first file', 2500, 1],
])('no file may grow %s (over %i kB)', async (_, kilobytes, atLeast) => {
    const database = join(folder, `limit-${kilobytes}.duckdb`);
    const { status, stderr } = load(database, `ulimit -f ${kilobytes};`);
    expect([status, stderr]).toEqual([1, `error: ${diskFull(database)}\n`]);
    expect(readdirSync(folder).filter((name) => name.includes('.new-'))).toEqual([]);
    await checkAndMend(database, atLeast);
});

test('the folder of the database is full', async () => {
    const { path, isSmall } = smallDisk('disk', 3000);
    const database = join(path, 'small.duckdb');
    const { status, stderr } = load(database, isSmall ? '' : 'ulimit -f 2000;');
    expect([status, stderr]).toEqual([1, `error: ${diskFull(database)}\n`]);
    // Not even a model can be built then, and a command that asks says so.
    if (isSmall) {
        const asked = program.run(['slopes', '--db', database], folder);
        expect([asked.status, asked.stderr]).toEqual([1, `error: ${diskFullMeanwhile()}\n`]);
        execFileSync('mount', ['-o', 'remount,size=20m', path]);
    }
    await checkAndMend(database, 1);
});

test('the temporary folder is full', async () => {
    const { path, isSmall } = smallDisk('temporary', 300);
    const database = join(folder, 'spool.duckdb');
    const shell = `export TMPDIR=${path}; ${isSmall ? '' : 'ulimit -f 1300;'}`;
    const { status, stderr } = load(database, shell, [large]);
    expect([status, stderr]).toEqual([1, `error: ${diskFull(path)}\n`]);
    expect(readdirSync(path)).toEqual([]);
    await checkAndMend(database, 0);
});
