// Writes shared/ anew from src/contracts.
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const results = readdirSync(join(root, 'src/contracts/results')).filter((file) => file.endsWith('.ts'));
const bundle = join(root, 'node_modules/.cache/shared.mjs');

await build({
    stdin: {
        contents: [
            "export { publish } from './src/contracts/publish.ts';",
            ...results.map((file, i) => `import * as results${i} from './src/contracts/results/${file}';`),
            `export const results = [${results.map((_, i) => `results${i}`).join(', ')}];`,
        ].join('\n'),
        resolveDir: root,
    },
    outfile: bundle,
    bundle: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    logLevel: 'warning',
});
const { publish, results: modules } = await import(pathToFileURL(bundle).href);

const shared = join(root, 'shared');
rmSync(shared, { recursive: true, force: true });
for (const [path, content] of publish(modules)) {
    mkdirSync(dirname(join(shared, path)), { recursive: true });
    writeFileSync(join(shared, path), content);
}
