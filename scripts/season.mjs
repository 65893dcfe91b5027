// Writes the CSV files of fixtures/season from its seeded script: the same bytes at every run.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const folder = mkdtempSync(join(tmpdir(), 'season-'));
try {
    const outfile = join(folder, 'make.mjs');
    await build({
        absWorkingDir: root,
        entryPoints: ['fixtures/season/make.ts'],
        bundle: true,
        outfile,
        format: 'esm',
        platform: 'node',
        logLevel: 'warning',
    });
    const { makeSeason } = await import(pathToFileURL(outfile).href);
    for (const [name, text] of Object.entries(makeSeason().files)) {
        writeFileSync(join(root, 'fixtures', 'season', name), text);
        process.stdout.write(
            `${name}: ${text.split('\n').length - 2} rows, ${Math.round(text.length / 1000)} kB\n`,
        );
    }
} finally {
    rmSync(folder, { recursive: true, force: true });
}
