import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../../packageRoot.js';

/** What goes into every page besides its content. */
export interface PageAssets {
    script: string;
    style: string;
}

/** Reads what `scripts/bundle.mjs` made of `src/report/browser`. */
export function pageAssets(): PageAssets {
    const folder = join(packageRoot(), 'dist', 'browser');
    return {
        script: readFileSync(join(folder, 'runtime.js'), 'utf8').trim(),
        style: readFileSync(join(folder, 'page.css'), 'utf8').trim(),
    };
}
