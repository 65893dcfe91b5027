import { chmodSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundlePages, bundleProgram } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const dist = join(root, 'dist');

// Not the pages' script, which tests may be reading.
for (const folder of ['src', 'reports', 'chunks']) {
    rmSync(join(dist, folder), { recursive: true, force: true });
}
await bundlePages(root);
await bundleProgram(root, dist);
chmodSync(join(dist, 'src', 'cli', 'main.js'), 0o755);
