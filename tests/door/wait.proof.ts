import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { databaseAwaited, databaseLocked } from '../../src/errors/databaseMessages.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { Program } from '../support/program.js';
import { readingsFile } from '../support/wholeFiles.js';

let folder: string;
let program: Program;
let file: string;
let database: string;
const owner = `PID ${process.pid}`;

beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    program = Program.make();
    database = join(folder, 'test.duckdb');
    file = readingsFile(folder, 'a', 5);
    await loadFiles([file], database);
});
afterAll(() => {
    program.close();
    rmSync(folder, { recursive: true });
});

/** Starts a command while this process holds the database. */
async function startHeld(words: readonly string[]) {
    const holder = await Database.open({ file: database, mode: 'write' });
    return { holder, ...program.start([...words, '--db', database], folder) };
}

test('without --wait, and when its time is over: who holds the database and what to do', async () => {
    const { holder, ended } = await startHeld(['rejects']);
    expect(await ended).toEqual({
        status: 1,
        stdout: '',
        stderr: `error: ${databaseLocked(database, owner, 0)}\n`,
    });
    const { status, stderr } = program.run(['rejects', '--db', database, '--wait', '0.3'], folder);
    expect(status).toBe(1);
    const [waiting, error] = stderr.split('\n');
    expect(waiting).toBe(databaseAwaited(database, owner, 0.3));
    expect(error).toMatch(/^error: .* is still in use by another process \(PID \d+\) after \d\.\d s\. /);
    holder.close();
});

test.each([
    ['rejects', []],
    ['load', ['FILE', '--later']],
    ['export', ['readings', '--to', 'readings.json']],
])('%s --wait goes on as soon as the database is free', async (command, words) => {
    const given = words.map((word) => (word === 'FILE' ? file : word));
    const { holder, child, ended } = await startHeld([command, ...given, '--wait', '600']);
    await new Promise((resolve) => child.stderr!.once('data', resolve));
    holder.close();
    expect(await ended).toMatchObject({ status: 0, stderr: `${databaseAwaited(database, owner, 600)}\n` });
});

test('Ctrl-C ends the waiting', async () => {
    const { holder, child, ended } = await startHeld(['slopes', '--wait', '86400']);
    await new Promise((resolve) => child.stderr!.once('data', resolve));
    child.kill('SIGINT');
    expect(await ended).toMatchObject({ status: 1, stdout: '' });
    holder.close();
});

test('--help says what it is, and a time that is none is bad usage', () => {
    expect(program.run(['slopes', '--help'], folder).stdout).toMatch(/--wait <seconds> +how long to wait/);
    for (const time of ['soon', '-1']) {
        expect(program.run(['slopes', `--wait=${time}`], folder)).toMatchObject({ status: 2, stdout: '' });
    }
});
