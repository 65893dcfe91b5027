import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../../packageRoot.js';

/** What goes into every page besides its content. */
export interface PageAssets {
    script: string;
    style: string;
}

/** Reads what `scripts/bundle.mjs` made of `src/report/browser`, or of `src/sheet/browser`. */
export function pageAssets(script = 'runtime.js', style = 'page.css'): PageAssets {
    const folder = join(packageRoot(), 'dist', 'browser');
    return {
        script: readFileSync(join(folder, script), 'utf8').trim(),
        style: readFileSync(join(folder, style), 'utf8').trim(),
    };
}
