import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { shellOrValues } from '../src/errors/startMessages.js';
import { inProcess } from './support/inProcess.js';

const folder = mkdtempSync(join(tmpdir(), 'completion-'));
afterAll(() => rmSync(folder, { recursive: true }));

const scripts: Record<string, string> = {};
beforeAll(async () => {
    for (const shell of ['bash', 'zsh', 'fish']) scripts[shell] = (await inProcess('completion', shell)).out;
});

test('every command and option stands in the script of every shell', async () => {
    const help = (await inProcess('--help')).out;
    const commands = [...help.matchAll(/^ {2}([a-z]+) /gm)]
        .map(([, name]) => name!)
        .filter((name) => name !== 'help');
    expect(commands).toContain('advise');
    const options = (await inProcess('advise', '--help')).out.match(/--[a-z-]+/g)!;
    expect(options).toContain('--back-to');
    for (const text of Object.values(scripts)) {
        for (const name of commands) expect(text).toContain(name);
        for (const option of options.filter((one) => one !== '--help'))
            expect(text).toContain(option.slice(2));
    }
});

/** What bash offers for the last of `words`, with a program that knows two cars. */
function offered(...words: string[]): string[] {
    const file = join(folder, 'try.bash');
    const asked = words.map((word) => `'${word}'`).join(' ');
    writeFileSync(
        file,
        `strutmark() { [[ $3 == vehicle ]] && printf 'car 1\\ncar 2\\nvan\\n'; }
${scripts.bash}
COMP_WORDS=(${asked}); COMP_CWORD=${words.length - 1}; _strutmark; printf '%s\\n' "\${COMPREPLY[@]}"`,
    );
    const { stdout, stderr, status } = spawnSync('bash', [file], { encoding: 'utf8', cwd: folder });
    expect({ stderr, status }).toEqual({ stderr: '', status: 0 });
    return stdout.split('\n').filter((line) => line !== '');
}

test('bash: commands, options, choices, and names from the database as one word each', () => {
    expect(offered('strutmark', 'adv')).toEqual(['advise']);
    expect(offered('strutmark', 'history', '--ve')).toEqual(['--vehicle', '--version']);
    expect(offered('strutmark', 'advise', '--vehicle', 'car')).toEqual(['car\\ 1', 'car\\ 2']);
    expect(offered('strutmark', 'advise', '--most', 'positive')).toEqual([
        'positive-camber',
        'positive-caster',
    ]);
    expect(offered('strutmark', 'report', 's')).toEqual(['slopes', 'stack', 'sheet']);
    expect(offered('strutmark', '--db', 'x.duckdb', 'hist')).toEqual(['history']);
});

test('neither a shell nor --values: what to write', async () => {
    const { status, err } = await inProcess('completion');
    expect(status).toBe(2);
    expect(err).toContain(shellOrValues());
});
