import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { keyIsOpen, mapUnwritten, notAFile, rejectsWritten } from '../../src/errors/messages.js';
import { shellPath, shellWord } from '../../src/errors/words.js';
import { loadFiles } from '../../src/load/loadFiles.js';

const unit = fc.oneof(
    fc.constantFrom(...' \'"\\$`!*?[]{}()<>|&;#~=%\n\t\u0007\u001b\u0085-äß数😀'),
    fc.string({ minLength: 1, maxLength: 1 }),
);
const names = fc.string({ unit, minLength: 1, maxLength: 12 }).filter((name) => !name.includes('\0'));

test('a path in a hint is one word for a shell, and no option; a name is one word and itself', () => {
    const sampled = fc.sample(names, { seed: 23, numRuns: 300 });
    const said = execFileSync(
        'bash',
        ['-c', `printf '%s\\0' ${[...sampled.map(shellPath), ...sampled.map(shellWord)].join(' ')}`],
        {
            encoding: 'utf8',
        },
    );
    const wanted = sampled.map((name) => (name.startsWith('-') ? `./${name}` : name));
    expect(said.split('\0').slice(0, -1)).toEqual([...wanted, ...sampled]);
    for (const plain of ['a.csv', 'in/a-b_2.csv', '../x', '/tmp/a,b']) expect(shellPath(plain)).toBe(plain);
});

test('hints that name a path quote it', () => {
    const name = "it's mine.csv";
    for (const message of [
        keyIsOpen(name),
        mapUnwritten(name),
        rejectsWritten([name]),
        notAFile(name, 'a folder'),
    ]) {
        expect(message).toContain(shellPath(name));
    }
});

test('a file of another program: the error of load says how map reads it', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'hints-'));
    try {
        const files = Object.entries({
            'semicolon.csv': 'a;b\n1;2\n',
            'other words.csv': 'Kennzeichen,Sturz\nA1,-1\n',
            'title.csv': 'Protokoll\nvehicle,chassis\n',
            'unnamed.csv': 'vehicle,,chassis\n',
            'ansi.csv': Buffer.from('Kennzeichen,R\xfcckstellung\n', 'latin1'),
            'wide.csv': Buffer.from('Kennzeichen;Sturz\n', 'utf16le'),
        }).map(([name, content]) => {
            const path = join(folder, name);
            writeFileSync(path, content);
            return path;
        });
        const { refused } = await loadFiles(files, join(folder, 'x.duckdb'));
        expect(refused.map(({ file }) => file)).toEqual(files);
        for (const { file, reason } of refused)
            expect(reason).toContain(`strutmark map ${shellPath(file)} --to MAP.yaml`);
    } finally {
        rmSync(folder, { recursive: true });
    }
});
