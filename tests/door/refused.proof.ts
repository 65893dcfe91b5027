import {
    existsSync,
    lstatSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    rmSync,
    statSync,
    symlinkSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { UserError } from '../../src/errors/errors.js';
import { exportExists, noFolder, outputUnwritable } from '../../src/errors/messages.js';
import { notOfDemo } from '../../src/errors/startMessages.js';
import { refusal, systemReason } from '../../src/errors/systemReason.js';
import { makeFolder } from '../../src/report/makeFolder.js';
import { Program } from '../support/program.js';
import { readingsFile } from '../support/wholeFiles.js';

/** What the operating system will not do is never a bug of ours: a message, and nothing half done is left. */

let folder: string;
let program: Program;

beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    program = await Program.make();
    const file = readingsFile(folder, 'a', 5);
    expect(program.run(['load', '--later', file], folder).status).toBe(0);
    expect(program.run(['slopes'], folder).status).toBe(0);
    symlinkSync('nowhere', join(folder, 'dangling'));
    symlinkSync('circle', join(folder, 'circle'));
    writeFileSync(join(folder, 'file'), 'mine');
    mkdirSync(join(folder, 'is-a-folder.csv'));
});
afterAll(() => {
    program.close();
    rmSync(folder, { recursive: true });
});

const full = process.platform === 'linux';

test.runIf(full)('stdout on a full disk, with and without stderr', () => {
    for (const words of [['slopes'], ['slopes', '--json'], ['--help']]) {
        const said = program.run(words, folder, 'exec > /dev/full;');
        expect([words, said.status, said.stderr]).toEqual([
            words,
            1,
            `error: ${outputUnwritable('the disk is full')}\n`,
        ]);
    }
    expect(program.run(['slopes'], folder, 'exec > /dev/full 2> /dev/full;').status).toBe(1);
    expect(program.run(['slopes', '--vehicle'], folder, 'exec 2> /dev/full;').status).toBe(2);
});

test('a reader that goes away early ends it quietly, and so does one of stderr', () => {
    for (const words of [['slopes'], ['slopes', '--json']]) {
        const said = program.run(words, folder, 'exec > >(exec true); wait $!;');
        expect([words, said.status, said.stderr]).toEqual([words, 0, '']);
    }
    expect(program.run(['nope'], folder, 'exec 2> >(exec true); wait $!;').status).toBe(2);
});

test.each([
    ['dangling', 'it is a link that leads nowhere'],
    ['dangling/inner', 'there is no such folder'],
    ['circle', 'its links lead in a circle'],
    ['file', 'it is a file'],
    ['file/inner', 'a part of its path is no folder'],
    ['x'.repeat(300), 'the name is too long'],
    // Node's own way of making folders never ends there.
    ...(existsSync('/proc/self') ? [['/proc/pages/of/mine', 'there is no such folder']] : []),
])('a folder called %s cannot be made', (name, reason) => {
    const path = resolve(folder, name!);
    expect(() => makeFolder(path)).toThrow(new UserError(noFolder(path, reason!), 'cannot_write'));
    expect(readFileSync(join(folder, 'file'), 'utf8')).toBe('mine');
    expect(existsSync(join(folder, 'nowhere'))).toBe(false);
});

test('folders are made above each other, and one that is there is taken', () => {
    for (const _ of [1, 2]) makeFolder(join(folder, 'a/b/../c'));
    expect(statSync(join(folder, 'a/c')).isDirectory()).toBe(true);
});

test('pages and the example say so', () => {
    for (const command of [['report', 'slopes'], ['demo']]) {
        const said = program.run([...command, '--out', 'dangling'], folder);
        expect([said.status, said.stderr]).toEqual([
            1,
            `error: ${noFolder('dangling', 'it is a link that leads nowhere')}\n`,
        ]);
    }
});

test('the example does not take the place of a database with other rows', () => {
    const file = join(folder, 'mine', 'season.duckdb');
    mkdirSync(join(folder, 'mine'));
    writeFileSync(join(folder, 'mine.csv'), 'target,camber_deg,camber_tol_deg\nstreet,-1,0.2\n');
    expect(program.run(['--db', file, 'load', '--later', 'mine.csv'], folder).status).toBe(0);
    const before = readFileSync(file);
    const said = program.run(['demo', '--out', 'mine'], folder);
    expect([said.status, said.stderr]).toEqual([
        1,
        `error: ${notOfDemo(join('mine', 'season.duckdb'), 'mine.csv')}\n`,
    ]);
    expect(readFileSync(file).equals(before)).toBe(true);
});

test('a page cannot take the place of a folder, and leaves nothing beside it', () => {
    mkdirSync(join(folder, 'pages', 'slopes.html'), { recursive: true });
    const said = program.run(['report', 'slopes', '--out', 'pages'], folder);
    expect([said.status, said.stderr]).toEqual([
        1,
        expect.stringContaining('pages/slopes.html cannot be written: it is a folder'),
    ]);
    expect(readdirSync(join(folder, 'pages'))).toEqual(['slopes.html']);
});

test('export writes over a file only when it is told to', () => {
    writeFileSync(join(folder, 'kept.csv'), 'mine');
    for (const to of ['kept.csv', 'is-a-folder.csv', 'dangling.csv']) {
        if (to === 'dangling.csv') symlinkSync('nowhere', join(folder, to));
        const said = program.run(['export', 'slopes', '--to', to], folder);
        expect([said.status, said.stderr]).toEqual([1, `error: ${exportExists(to)}\n`]);
    }
    expect(readFileSync(join(folder, 'kept.csv'), 'utf8')).toBe('mine');
    expect(lstatSync(join(folder, 'dangling.csv')).isSymbolicLink()).toBe(true);
    expect(program.run(['export', 'slopes', '--to', 'kept.csv', '--overwrite'], folder).status).toBe(0);
    expect(readFileSync(join(folder, 'kept.csv'), 'utf8')).toMatch(/^chassis,/);
    const said = program.run(['export', 'slopes', '--to', 'is-a-folder.csv', '--overwrite'], folder);
    expect([said.status, said.stderr]).toEqual([
        1,
        expect.stringContaining('is-a-folder.csv cannot be used: it is a folder'),
    ]);
    expect(readdirSync(folder).filter((name) => name.startsWith('.strutmark'))).toEqual([]);
});

test('what the system refuses is told apart from a bug', () => {
    const error = (code: string, more = {}) =>
        Object.assign(new Error(`${code}: no`), { code, path: '/a', ...more });
    expect(refusal(error('EACCES'))).toEqual({ path: '/a', reason: 'you have no permission' });
    expect(refusal(error('EISDIR', { dest: '/b' }))).toEqual({ path: '/b', reason: 'it is a folder' });
    const ofDuckDB = new Error(
        'TransactionContext Error: Failed to commit: Cannot open file "/a/b.wal": Read-only file system',
    );
    expect(refusal(ofDuckDB)).toEqual({ path: '/a/b.wal', reason: 'Read-only file system' });
    // A file of the program itself may be what is not there.
    for (const other of [error('ENOENT'), error('ERR_ASSERTION'), new Error('no'), 'no', undefined])
        expect(refusal(other)).toBeNull();
    expect(systemReason(error('EWHAT'))).toBe('EWHAT');
});
