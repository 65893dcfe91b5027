import {
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    realpathSync,
    rmSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { hintsAsk, nameWhen, programName } from '../src/errors/programName.js';
import { checks } from '../src/model/checks.js';
import { packageRoot } from '../src/packageRoot.js';
import { inProcess } from './support/inProcess.js';

const folder = realpathSync(mkdtempSync(join(tmpdir(), 'hints ')));
afterAll(() => rmSync(folder, { recursive: true }));

/** A new file `words` below the folder, with the folders above it. */
function made(...words: string[]): string {
    const file = join(folder, ...words);
    mkdirSync(join(file, '..'), { recursive: true });
    writeFileSync(file, words.at(-1) === 'package.json' ? '{\n  "name": "strutmark"\n}' : '');
    return file;
}

const global = made('bin', 'strutmark');
const local = made('shop', 'node_modules', '.bin', 'strutmark');
const main = made('checkout', 'dist', 'src', 'cli', 'main.js');
made('checkout', 'package.json');
mkdirSync(join(folder, 'checkout', 'sub'));
mkdirSync(join(folder, 'shop', 'season 1'));
const elsewhere = join(folder, 'bin');
const paths = (...words: string[]) => words.map((word) => join(folder, word)).join(delimiter);

test.each([
    ['from the path', global, paths('other', 'bin'), elsewhere, 'strutmark'],
    ['from the path, in the checkout', global, paths('bin'), join(folder, 'checkout'), 'strutmark'],
    ['by npx in a project', local, paths('shop/node_modules/.bin'), join(folder, 'shop'), 'npx strutmark'],
    ['by npx below a project', local, paths(), join(folder, 'shop', 'season 1'), 'npx strutmark'],
    ['by npm run in the checkout', main, paths('other'), join(folder, 'checkout'), 'npx strutmark'],
    ['below the checkout', main, paths(), join(folder, 'checkout', 'sub'), 'npx strutmark'],
    ['by a script that a file on the path starts', main, paths('bin'), elsewhere, 'strutmark'],
    ['by its script, from elsewhere', main, paths('other'), elsewhere, `node "${main}"`],
    ['as a library', made('other', 'server.js'), paths(), elsewhere, 'npx strutmark'],
    ['without a script', undefined, paths(), elsewhere, 'npx strutmark'],
])('started %s', (_, script, path, cwd, name) => {
    expect(nameWhen({ script, path, cwd })).toBe(name);
});

test('every hint names the program as it was started', () => {
    const root = packageRoot();
    const commands = readdirSync(join(root, 'src/cli/commands')).map((file) => file.replace(/\.ts$/, ''));
    const bare = new RegExp(`(?<![\\w-])strutmark (?=(${commands.join('|')}|--[a-z]+)\\b|[A-Z$])`);
    const wrong = ['src', 'reports']
        .flatMap((name) =>
            readdirSync(join(root, name), { recursive: true, encoding: 'utf8' }).map((file) =>
                join(name, file),
            ),
        )
        .filter((file) => file.endsWith('.ts') && !file.startsWith(join('src', 'contracts')))
        .flatMap((file) =>
            readFileSync(join(root, file), 'utf8')
                .split('\n')
                .flatMap((line, at) =>
                    bare.test(line)
                        ? [`${file}:${at + 1}: write \`\${programName()} ...\`, from src/errors/programName`]
                        : [],
                ),
        );
    expect(wrong).toEqual([]);
    for (const { mend } of checks()) expect(mend.replaceAll(programName(), '')).not.toMatch(bare);
});

test('hints ask the database and the folder that the command line named', async () => {
    const database = join(folder, "the club's.duckdb");
    const words = `--db '${folder}/the club'\\''s.duckdb'`;
    const said = await inProcess('slopes', '--db', database);
    expect(said.err).toContain(`${programName()} ${words} load FILE...`);
    expect((await inProcess('slopes', '--db', 'strutmark.duckdb')).err).toContain(`${programName()} load`);
    hintsAsk({ db: 'club.duckdb', readings: 'more' });
    const { mend } = checks().find(({ name }) => name === 'copied_rows')!;
    hintsAsk({});
    expect(mend).toContain(`${programName()} --db club.duckdb --readings more forget FILE:LINE`);
});
