import { execFile } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { packageRoot } from '../../src/packageRoot.js';

/** The oldest Node that package.json promises, and the newest that there was when this line was last changed. */
export const nodeVersions = ['20.0.0', '26.10.0'] as const;

const run = promisify(execFile);

/** Node `version` for this machine, from the package that brings its binary; fetched once. */
export async function nodeOf(version: string): Promise<string> {
    const cache = join(packageRoot(), 'node_modules', '.cache', 'nodes');
    const kept = join(cache, version);
    if (!existsSync(kept)) {
        mkdirSync(cache, { recursive: true });
        const folder = mkdtempSync(join(cache, 'new-'));
        const name = `node-${process.platform === 'win32' ? 'win' : process.platform}-${process.arch}`;
        const words = ['pack', '--silent', '--prefer-offline', '--pack-destination', folder];
        const { stdout } = await run('npm', [...words, `${name}@${version}`], { cwd: folder });
        const packed = join(folder, stdout.trim());
        // Only the program: what else the package brings takes longer to unpack.
        await run('tar', ['xzf', packed, '-C', folder, 'package/bin/node']);
        rmSync(packed);
        if (existsSync(kept)) rmSync(folder, { recursive: true });
        else renameSync(folder, kept);
    }
    return join(kept, 'package', 'bin', 'node');
}
