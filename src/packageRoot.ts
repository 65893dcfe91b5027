import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Folder that holds package.json, sql/, reports/ and shared/: the checkout, or the installed package. */
export function packageRoot(): string {
    let folder = dirname(fileURLToPath(import.meta.url));
    while (!existsSync(join(folder, 'sql'))) {
        const parent = dirname(folder);
        if (parent === folder) throw new Error('the package is incomplete: no folder sql above the program');
        folder = parent;
    }
    return folder;
}

/** Version of this program, as its package.json says. */
export function packageVersion(): string {
    return (JSON.parse(readFileSync(join(packageRoot(), 'package.json'), 'utf8')) as { version: string })
        .version;
}
