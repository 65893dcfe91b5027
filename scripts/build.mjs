import { spawnSync } from 'node:child_process';
import { chmodSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundle } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const typescript = createRequire(import.meta.url).resolve('typescript/package.json');

// Commands and reports are found by file: none that the sources no longer have may stay behind.
for (const folder of ['src', 'reports']) rmSync(join(root, 'dist', folder), { recursive: true, force: true });
const tsc = spawnSync(
    process.execPath,
    [join(dirname(typescript), 'bin', 'tsc'), '-p', join(root, 'tsconfig.json')],
    { stdio: 'inherit' },
);
if (tsc.status !== 0) process.exit(1);
await bundle(root);
chmodSync(join(root, 'dist', 'src', 'cli', 'main.js'), 0o755);
