import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../../src/packageRoot.js';

/** The oldest Node that package.json promises, and the newest that there was when this line was last changed. */
export const nodeVersions = ['20.0.0', '26.10.0'] as const;

/** Node `version` for this machine, from the package that brings its binary; installed once. */
export function nodeOf(version: string): string {
    const cache = join(packageRoot(), 'node_modules', '.cache', 'nodes');
    const kept = join(cache, version);
    const name = `node-${process.platform === 'win32' ? 'win' : process.platform}-${process.arch}`;
    if (!existsSync(kept)) {
        mkdirSync(cache, { recursive: true });
        const folder = mkdtempSync(join(cache, 'new-'));
        const words = ['install', '--no-save', '--ignore-scripts', '--no-audit', '--no-fund'];
        execFileSync('npm', [...words, '--prefix', folder, `${name}@${version}`], { stdio: 'ignore' });
        if (existsSync(kept)) rmSync(folder, { recursive: true });
        else renameSync(folder, kept);
    }
    return join(kept, 'node_modules', name, 'bin', 'node');
}
