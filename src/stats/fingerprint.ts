import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Versions of the packages that the functions come from. */
function packageVersions(root: string): string[] {
    const read = (file: string) => JSON.parse(readFileSync(join(root, file), 'utf8'));
    const { dependencies } = read('package.json') as { dependencies: Record<string, string> };
    return Object.keys(dependencies)
        .filter((name) => name.startsWith('@stdlib/'))
        .map((name) => `${name} ${read(`node_modules/${name}/package.json`).version}`);
}

/** Hash of the files in `folder`, and of the packages that they take their functions from. */
export function fingerprintOf(folder: string): string {
    const hash = createHash('sha256');
    const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((file) =>
        file.endsWith('.ts'),
    );
    for (const file of files.sort()) hash.update(file).update(readFileSync(join(folder, file)));
    return hash.update(packageVersions(join(folder, '..', '..')).join()).digest('hex');
}

let own: string | undefined;

/**
 * Changes with the functions that SQL gets from this folder: what was made with others is stale. The bundle holds it as a constant
 * (scripts/bundle.mjs).
 */
export function statisticsFingerprint(): string {
    own ??= fingerprintOf(dirname(fileURLToPath(import.meta.url)));
    return own;
}
