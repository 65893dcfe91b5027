import {
    chmodSync,
    existsSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    renameSync,
    rmSync,
    statSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundlePages, bundleProgram } from './bundle.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const dist = join(root, 'dist');
const cache = join(root, 'node_modules', '.cache');

const filesIn = (folder) =>
    existsSync(folder)
        ? readdirSync(folder, { recursive: true }).filter((file) => statSync(join(folder, file)).isFile())
        : [];

mkdirSync(cache, { recursive: true });
// Built elsewhere and moved file by file, what others import first: whoever runs the program meanwhile finds it whole.
const made = mkdtempSync(join(cache, 'dist-'));
try {
    await bundlePages(root, join(made, 'browser'));
    await bundleProgram(root, made);
    chmodSync(join(made, 'src', 'cli', 'main.js'), 0o755);
    const files = filesIn(made).sort();
    for (const file of files) {
        mkdirSync(dirname(join(dist, file)), { recursive: true });
        renameSync(join(made, file), join(dist, file));
    }
    for (const file of filesIn(dist)) if (!files.includes(file)) rmSync(join(dist, file));
} finally {
    rmSync(made, { recursive: true });
}
