// Bundles bench/ and runs it: what the stages of the pipeline cost, against what they are measured with.
import { mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { plugins } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
// Under node_modules, where the bundles find the packages.
const cache = join(root, 'node_modules', '.cache');
mkdirSync(cache, { recursive: true });
const folder = mkdtempSync(join(cache, 'bench-'));
try {
    await build({
        absWorkingDir: root,
        entryPoints: [
            'bench/main.ts',
            ...readdirSync(join(root, 'bench', 'programs')).map((file) => `bench/programs/${file}`),
        ],
        bundle: true,
        outdir: folder,
        outbase: 'bench',
        format: 'esm',
        platform: 'node',
        packages: 'external',
        logLevel: 'warning',
        plugins: await plugins(root),
    });
    const { main } = await import(pathToFileURL(join(folder, 'main.js')).href);
    await main(root, join(folder, 'programs'), process.argv.slice(2));
} finally {
    rmSync(folder, { recursive: true, force: true });
}
