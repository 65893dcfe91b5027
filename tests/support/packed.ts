import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
    existsSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    renameSync,
    rmSync,
    statSync,
    symlinkSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { packageRoot } from '../../src/packageRoot.js';

/** What the tarball is made of. */
const sources = ['src', 'sql', 'reports', 'scripts', 'shared', 'fixtures/season', 'docs'];
const singles = [
    'package.json',
    'package-lock.json',
    'tsconfig.json',
    'README.md',
    'CHANGELOG.md',
    'DEVELOPERS.md',
    'LICENSE',
];

function fingerprint(root: string): string {
    const hash = createHash('sha256');
    const files = sources.flatMap((name) =>
        readdirSync(join(root, name), { recursive: true, encoding: 'utf8' }).map((file) => join(name, file)),
    );
    for (const file of [...files.sort(), ...singles]) {
        const path = join(root, file);
        if (statSync(path).isFile()) hash.update(`${file}\n`).update(readFileSync(path));
    }
    return hash.digest('hex').slice(0, 16);
}

/** The packed tarball of the sources as they stand; packed once and kept until they change. */
export function tarball(): string {
    const root = packageRoot();
    const cache = join(root, 'node_modules', '.cache', 'packed');
    const kept = join(cache, `strutmark-${fingerprint(root)}.tgz`);
    if (existsSync(kept)) return kept;
    mkdirSync(cache, { recursive: true });
    const folder = mkdtempSync(join(cache, 'new-'));
    try {
        const words = ['pack', '--json', '--foreground-scripts=false', '--pack-destination', folder];
        const [{ filename }] = JSON.parse(
            execFileSync('npm', words, { cwd: root, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] }),
        );
        for (const old of readdirSync(cache).filter((name) => name.endsWith('.tgz'))) {
            rmSync(join(cache, old), { force: true });
        }
        renameSync(join(folder, filename), kept);
    } finally {
        rmSync(folder, { recursive: true });
    }
    return kept;
}

/** Names of the packages that come along with the program, such as `@duckdb/node-api`. */
function productionPackages(root: string): string[] {
    const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as {
        packages: Record<string, { dev?: boolean; optional?: boolean }>;
    };
    return Object.entries(packages)
        .filter(([path, { dev }]) => /^node_modules\/(@[^/]+\/)?[^/]+$/.test(path) && dev !== true)
        .map(([path]) => path.slice('node_modules/'.length));
}

/** The program as `npm install TARBALL` leaves it in `folder`, with the packages of the checkout linked; returns its script. */
export function unpack(folder: string): string {
    const root = packageRoot();
    const modules = join(folder, 'node_modules');
    const own = join(modules, 'strutmark');
    mkdirSync(own, { recursive: true });
    execFileSync('tar', ['xzf', tarball(), '-C', own, '--strip-components', '1']);
    for (const name of productionPackages(root)) {
        const from = join(root, 'node_modules', name);
        if (!existsSync(from)) continue;
        mkdirSync(dirname(join(modules, name)), { recursive: true });
        symlinkSync(from, join(modules, name));
    }
    const main = join(own, 'dist', 'src', 'cli', 'main.js');
    mkdirSync(join(modules, '.bin'));
    symlinkSync(main, join(modules, '.bin', 'strutmark'));
    return main;
}
