import {
    chmodSync,
    copyFileSync,
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
import { writeTypes } from './types.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const dist = join(root, 'dist');
const cache = join(root, 'node_modules', '.cache');

const filesIn = (folder) =>
    existsSync(folder)
        ? readdirSync(folder, { recursive: true }).filter((file) => statSync(join(folder, file)).isFile())
        : [];

/** The rasteriser of pictures and the font that it writes with, with their licences. */
const raster = {
    'resvg.wasm': 'node_modules/@resvg/resvg-wasm/index_bg.wasm',
    'LICENSE-resvg.txt': 'scripts/licences/LICENSE-resvg.txt',
    'DejaVuSans.ttf': 'node_modules/dejavu-fonts-ttf/ttf/DejaVuSans.ttf',
    'DejaVuSans-Bold.ttf': 'node_modules/dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf',
    'LICENSE-dejavu-fonts.txt': 'node_modules/dejavu-fonts-ttf/LICENSE',
};

mkdirSync(cache, { recursive: true });
// Built elsewhere and moved file by file, what others import first: whoever runs the program meanwhile finds it whole.
const made = mkdtempSync(join(cache, 'dist-'));
try {
    await bundlePages(root, join(made, 'browser'));
    mkdirSync(join(made, 'raster'));
    for (const [name, from] of Object.entries(raster)) {
        copyFileSync(join(root, from), join(made, 'raster', name));
    }
    await bundleProgram(root, made);
    writeTypes(root, join(made, 'types'));
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
