// Usage: node scripts/compile.mjs DIST PROGRAM. Has V8 compile the scripts of DIST/program, the functions of PROGRAM that answers call too.
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const [dist, program] = process.argv.slice(2);
const { compiledFile, exportsOf, script } = await import(pathToFileURL(join(dist, 'load.js')).href);
const scripts = new Map();
const read = (name) => {
    if (!scripts.has(name)) scripts.set(name, script(name, false));
    return scripts.get(name);
};
const inputs = fileURLToPath(new URL('../fixtures/season', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'compile-'));
try {
    process.chdir(folder);
    const { run } = exportsOf(program, read);
    process.stdout.write = process.stderr.write = () => true;
    const season = readdirSync(inputs).filter((file) => file.endsWith('.csv'));
    await run(['load', ...season.map((file) => join(inputs, file))]);
    for (const words of ['check', 'drift', 'audit --by technician', 'range', 'gauges', 'slopes']) {
        await run(words.split(' '));
    }
} finally {
    rmSync(folder, { recursive: true });
}
for (const name of readdirSync(join(dist, 'program')).filter((file) => file.endsWith('.cjs'))) {
    writeFileSync(compiledFile(join(dist, 'program', name)), read(`./${name}`).createCachedData());
}
