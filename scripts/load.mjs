// Shipped as dist/load.js: reads the scripts of dist/program for the command line.
import { existsSync, readFileSync } from 'node:fs';
import nodeModule, { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { setFlagsFromString } from 'node:v8';
import { Script } from 'node:vm';

/**
 * V8 optimises a function after this many bytes of its bytecode, a sixth of it by default, which costs a load of four readings and all models of
 * 2,000 half a second of two: most functions are done before that pays. 100,000 readings take as long with either, longer from 800,000 on.
 * Set before anything is compiled, as V8 takes what it has compiled under the same flags only; other versions of Node were not measured.
 */
if (process.version.startsWith('v20.')) setFlagsFromString('--interrupt-budget=400000');

/** What compile.mjs has V8 compile of a script: of no use to another Node. */
export const compiledFile = (file) => `${file}.${process.version}-${process.arch}`;

const folder = fileURLToPath(new URL('program/', import.meta.url));
const require = createRequire(folder);
const modules = new Map();

/** The script `file`, with what V8 had compiled of it: to compile it anew takes longer than most answers. */
export function script(file, isCompiled = true) {
    const filename = join(folder, file);
    return new Script(nodeModule.wrap(readFileSync(filename, 'utf8')), {
        filename,
        ...(isCompiled && { cachedData: readFileSync(compiledFile(filename)) }),
    });
}

/** What `read` exports, a script of `dist/program` or a package. */
export function exportsOf(name, read) {
    if (!name.startsWith('./')) return require(name);
    const known = modules.get(name);
    if (known !== undefined) return known.exports;
    const module = { exports: {} };
    modules.set(name, module);
    const inner = (other) => exportsOf(other, read);
    read(name).runInThisContext()(module.exports, inner, module, join(folder, name), folder);
    return module.exports;
}

/** What the script `name` exports. */
export function load(name) {
    if (existsSync(compiledFile(join(folder, name)))) return exportsOf(name, script);
    nodeModule.enableCompileCache?.();
    return require(name);
}
