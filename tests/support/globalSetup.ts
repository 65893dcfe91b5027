import { existsSync, readdirSync, statSync } from 'node:fs';
import { packageRoot } from '../../src/packageRoot.js';

/** Bundles script and style of the pages where they are missing or older than their sources. */
export default async function setup(): Promise<void> {
    const root = packageRoot();
    const changed = (file: string) => statSync(file).mtimeMs;
    const sources = [
        'src/report/browser',
        'src/report/chart',
        'src/sheet',
        'src/sheet/browser',
        'src/stats/settings',
        'scripts',
    ].flatMap((folder) => readdirSync(`${root}/${folder}`).map((file) => `${root}/${folder}/${file}`));
    const bundles = ['runtime.js', 'page.css', 'sheet.js', 'sheet-style.css'].map(
        (file) => `${root}/dist/browser/${file}`,
    );
    if (bundles.every(existsSync) && Math.min(...bundles.map(changed)) > Math.max(...sources.map(changed)))
        return;
    const { bundlePages } = (await import(`${root}/scripts/bundle.mjs`)) as {
        bundlePages(root: string): Promise<void>;
    };
    await bundlePages(root);
}
