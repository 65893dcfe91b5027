import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { notADatabase, notAFile } from '../../src/errors/messages.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { removeStaleSpools } from '../../src/load/spoolFolder.js';
import { Program } from '../support/program.js';
import { readingsFile } from '../support/wholeFiles.js';

let folder: string;
let program: Program;

beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    program = Program.make();
    execFileSync('mkfifo', [join(folder, 'pipe')]);
    readingsFile(folder, 'a', 5);
    await loadFiles([join(folder, 'a.csv')], join(folder, 'strutmark.duckdb'));
});
afterAll(() => {
    program.close();
    rmSync(folder, { recursive: true });
});

/** Whatever would never end, or is no file: said at once, and nothing else happens. */
test('pipes, devices and folders in the place of files to load', () => {
    const { status, stdout, stderr } = program.run(
        ['load', '--later', '--json', 'pipe', '/dev/zero', '/dev/null', '.', 'a.csv'],
        folder,
    );
    const what = 'a pipe or device';
    const refused = [
        notAFile('pipe', what),
        notAFile('/dev/zero', what),
        notAFile('/dev/null', what),
        notAFile('.', 'a folder'),
    ];
    expect([status, stderr]).toEqual([1, `error: ${refused.join('\nerror: ')}\n`]);
    expect(JSON.parse(stdout).rows).toMatchObject([{ file: 'a.csv', duplicate_count: 5 }]);
});

describe.each(['pipe', '/dev/zero'])('%s in the place of', (path) => {
    test.each([
        ['a file to draw a map of', ['map', path], 'not a file'],
        [
            'a map',
            ['load', 'a.csv', '--map', path],
            'cannot be read as a map: it is a folder, pipe or device',
        ],
        ['odds', ['drift', '--config', path], 'cannot be read: it is a folder, pipe or device'],
        ['the database', ['rejects', '--db', path], notADatabase(path, 'it is a folder, pipe or device')],
    ])('%s', (_, words, said) => {
        const { status, stdout, stderr } = program.run(words, folder);
        expect({ status, stdout }).toEqual({ status: 1, stdout: '' });
        expect(stderr).toContain(said);
    });
});

describe('spools of killed loads', () => {
    const usualTemporary = process.env.TMPDIR;
    let temporary: string;
    beforeAll(() => {
        temporary = join(folder, 'tmp');
        mkdirSync(temporary);
        process.env.TMPDIR = temporary;
    });
    afterAll(() => {
        if (usualTemporary === undefined) delete process.env.TMPDIR;
        else process.env.TMPDIR = usualTemporary;
    });

    test('go when their process is dead and they are of this user, and nothing else goes', () => {
        const dead = Number(execFileSync('sh', ['-c', 'echo $$'], { encoding: 'utf8' }));
        const keep = join(folder, 'keep.txt');
        writeFileSync(keep, 'mine');
        const made = {
            gone: `strutmark-${dead}-abcdef`,
            running: `strutmark-${process.pid}-abcdef`,
            unlike: `strutmark-${dead}`,
            foreign: `strutmark-${dead}-foreig`,
        };
        for (const name of Object.values(made)) {
            mkdirSync(join(temporary, name));
            execFileSync('ln', ['-s', keep, join(temporary, name, 'link')]);
        }
        execFileSync('ln', ['-s', folder, join(temporary, `strutmark-${dead}-link`)]);
        // Only the superuser can give a folder away.
        const canGive = process.getuid!() === 0;
        if (canGive) execFileSync('chown', ['65534', join(temporary, made.foreign)]);
        removeStaleSpools();
        const left = [
            made.running,
            made.unlike,
            `strutmark-${dead}-link`,
            ...(canGive ? [made.foreign] : []),
        ];
        expect(readdirSync(temporary).sort()).toEqual(left.sort());
        expect(readFileSync(keep, 'utf8')).toBe('mine');
    });
});
