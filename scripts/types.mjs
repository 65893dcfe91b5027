import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';

/** Files that the declarations of `file` name, by relative imports. */
const namedIn = (file) =>
    [...readFileSync(file, 'utf8').matchAll(/(?:from |import\(|import )["'](\.[^"']+)\.js["']/g)].map(
        ([, target]) => `${resolve(dirname(file), target)}.d.ts`,
    );

/** Writes the declarations of the library to `folder`, and those that they need. Types were checked by `npm run typecheck`. */
export function writeTypes(root, folder) {
    const cache = join(root, 'node_modules', '.cache');
    mkdirSync(cache, { recursive: true });
    const all = mkdtempSync(join(cache, 'types-'));
    try {
        const { compilerOptions } = JSON.parse(readFileSync(join(root, 'tsconfig.json'), 'utf8'));
        const { noEmit, allowImportingTsExtensions, ...options } = compilerOptions;
        const words = Object.entries({
            ...options,
            noCheck: true,
            declaration: true,
            emitDeclarationOnly: true,
            rootDir: 'src',
            outDir: all,
        }).flatMap(([name, value]) => [`--${name}`, String(value)]);
        const tsc = join(root, 'node_modules', '.bin', 'tsc');
        const { status, stdout } = spawnSync(tsc, ['--ignoreConfig', ...words, 'src/library/index.ts'], {
            cwd: root,
            encoding: 'utf8',
        });
        if (status !== 0) throw new Error(`tsc: ${stdout}`);
        const needed = [join(all, 'library', 'index.d.ts')];
        for (const file of needed)
            needed.push(...namedIn(file).filter((one) => existsSync(one) && !needed.includes(one)));
        for (const file of new Set(needed)) {
            const to = join(folder, relative(all, file));
            mkdirSync(dirname(to), { recursive: true });
            renameSync(file, to);
        }
    } finally {
        rmSync(all, { recursive: true });
    }
}
