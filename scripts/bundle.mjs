import { execFileSync } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import {
    copyFileSync,
    mkdirSync,
    readdirSync,
    readFileSync,
    renameSync,
    rmSync,
    writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const unused =
    /^(vega-(crossfilter|force|geo|hierarchy|label|projection|regression|voronoi|wordcloud)|d3-(delaunay|force|geo|geo-projection|hierarchy)|topojson-client)$/;

/** Vega brings maps, trees, clouds and more along; no page draws them. */
const leaveOut = {
    name: 'leave-out',
    setup({ onResolve, onLoad }) {
        onResolve({ filter: unused }, ({ path }) => ({ path, namespace: 'left-out' }));
        onLoad({ filter: /.*/, namespace: 'left-out' }, () => ({ contents: 'module.exports = {};' }));
    },
};

/** The only functions that a page has from packages. */
const packagesOfPages = (root) => ({
    name: 'packages-of-pages',
    setup({ onLoad }) {
        onLoad({ filter: /src\/stats\/requirePackage\.ts$/ }, () => ({
            contents: `import erfc from '@stdlib/math-base-special-erfc';
                export const requirePackage = (name) => {
                    if (name !== '@stdlib/math-base-special-erfc') throw new Error(\`no \${name} in a page\`);
                    return erfc;
                };`,
            resolveDir: root,
        }));
    },
});

/** Bundles script and style of the pages from `src/report/browser`, and of the sheet, into `folder`. */
export async function bundlePages(root, folder = join(root, 'dist', 'browser')) {
    await build({
        absWorkingDir: root,
        entryPoints: {
            runtime: 'src/report/browser/runtime.ts',
            page: 'src/report/browser/page.css',
            sheet: 'src/sheet/browser/main.ts',
            'sheet-style': 'src/sheet/browser/sheet.css',
        },
        outdir: folder,
        bundle: true,
        minify: true,
        format: 'iife',
        target: ['es2022', 'chrome105', 'firefox121', 'safari16'],
        charset: 'utf8',
        legalComments: 'none',
        logLevel: 'warning',
        plugins: [leaveOut, packagesOfPages(root)],
    });
}

/** Zod says its own errors in fifty languages; only English is asked. */
const englishOnly = {
    name: 'english-only',
    setup({ onLoad }) {
        onLoad({ filter: /zod\/v4\/locales\/index\.js$/ }, () => ({
            contents: "export { default as en } from './en.js';",
        }));
    },
};

/** Vega asks for a package that draws pixels, which no page needs, in a way that scripts have not. */
const noCanvas = {
    name: 'no-canvas',
    setup({ onLoad }) {
        onLoad({ filter: /vega-canvas\.node\.js$/ }, () => ({
            contents:
                'export const canvas = () => null, domCanvas = canvas, image = canvas, nodeCanvas = canvas;',
        }));
    },
};

/** Packages that are asked for by name at their first call, when each is read. */
const packagesByName = (file) => ({
    name: 'packages-by-name',
    setup({ onLoad }) {
        onLoad({ filter: /src\/stats\/requirePackage\.ts$/ }, () => ({
            contents: `export const requirePackage = (name) => require('${file}')[name]();`,
        }));
    },
});

/** What the sources in `root` export by `contents`, a module that names them. */
export async function sourcesOf(root, contents) {
    const outfile = join(root, `node_modules/.cache/sources-${process.pid}-${randomUUID()}.mjs`);
    await build({
        stdin: { contents, resolveDir: root },
        outfile,
        bundle: true,
        platform: 'node',
        format: 'esm',
        packages: 'external',
        logLevel: 'warning',
    });
    try {
        return await import(pathToFileURL(outfile).href);
    } finally {
        rmSync(outfile);
    }
}

/** Source that exports the modules of src/contracts/results as `modules`. */
export function resultModules(root) {
    const results = readdirSync(join(root, 'src/contracts/results')).sort();
    return `${results.map((file, i) => `import * as results${i} from './src/contracts/results/${file}';`).join('\n')}
        export const modules = [${results.map((_, i) => `results${i}`).join(', ')}];`;
}

/** What the bundle is told of its sources: the hash of src/stats, what the queries name, and what the library exports. */
async function factsOf(root) {
    const { packageReferences, fingerprintOf, library } = await sourcesOf(
        root,
        `export { packageReferences } from './src/model/packageReferences.ts';
        export { fingerprintOf } from './src/stats/fingerprint.ts';
        export * as library from './src/library/index.ts';`,
    );
    return {
        references: await packageReferences(),
        fingerprint: fingerprintOf(join(root, 'src', 'stats')),
        library: Object.keys(library),
    };
}

/** The sources are not there to be hashed where the bundle runs. */
const statisticsFingerprint = (fingerprint) => ({
    name: 'statistics-fingerprint',
    setup({ onLoad }) {
        onLoad({ filter: /src\/stats\/fingerprint\.ts$/ }, () => ({
            contents: `export const statisticsFingerprint = () => '${fingerprint}';`,
        }));
    },
});

/** What a bundle of `src/model` outside of `dist` needs besides. */
export const plugins = async (root) => [statisticsFingerprint((await factsOf(root)).fingerprint)];

/** Writes a file that others may be reading. */
function replaceFile(file, text) {
    const part = `${file}.${process.pid}`;
    writeFileSync(part, text);
    renameSync(part, file);
}

/** Packages that are long, most of them not needed by every answer, by the scripts that hold them. */
const apart = {
    duckdb: ['@duckdb/node-api'],
    vega: ['vega', 'vega-interpreter', 'vega-lite'],
    ...Object.fromEntries(
        ['apache-arrow', 'commander', 're2js', 'yaml', 'zod'].map((name) => [name, [name]]),
    ),
};

/** Writes `contents` as a script of `dist/program`; returns how others name it there. */
async function writeScript(root, folder, name, contents, plugins = []) {
    const { metafile } = await build({
        absWorkingDir: root,
        stdin: { contents, resolveDir: root },
        outdir: join(folder, 'program'),
        entryNames: `${name}-[hash]`,
        outExtension: { '.js': '.cjs' },
        bundle: true,
        minifyWhitespace: false,
        format: 'cjs',
        platform: 'node',
        target: 'node20',
        supported: { 'dynamic-import': false },
        // The only package that is more than script.
        external: ['@duckdb/node-bindings'],
        define: { 'import.meta.url': 'moduleUrl' },
        banner: { js: "const moduleUrl = require('node:url').pathToFileURL(__filename).href;" },
        legalComments: 'none',
        metafile: true,
        logLevel: 'warning',
        plugins: [englishOnly, noCanvas, ...plugins],
    });
    return `./${basename(Object.keys(metafile.outputs)[0])}`;
}

/** Imports of these packages as imports of their scripts. */
const packagesApart = (files) => ({
    name: 'packages-apart',
    setup({ onResolve }) {
        onResolve({ filter: /^[@a-z]/ }, ({ path }) =>
            files.has(path) ? { path: files.get(path), external: true } : undefined,
        );
        onResolve({ filter: /\.cjs$/ }, ({ path }) => ({ path, external: true }));
    },
});

/** The reports by name, in the bundle with all else. */
const reportsByName = (root) => ({
    name: 'reports-by-name',
    setup({ onLoad }) {
        const entries = readdirSync(join(root, 'reports')).map(
            (name) => `${JSON.stringify(name)}: () => import('./reports/${name}/report.ts'),`,
        );
        onLoad({ filter: /src\/report\/importReport\.ts$/ }, () => ({
            contents: `const reports = { ${entries.join(' ')} };
                export const importReport = async (name) => (await reports[name]()).default;`,
            resolveDir: root,
        }));
    },
});

/**
 * Bundles the program into `folder`: scripts that are read as one begins or when they are asked for, with what V8 compiles of them, and for
 * the command line and the library a module that reads them. Node takes longer to find, read and compile hundreds of small files.
 */
export async function bundleProgram(root, folder) {
    const { references, fingerprint, library } = await factsOf(root);
    mkdirSync(folder, { recursive: true });
    replaceFile(join(folder, 'references.json'), JSON.stringify(references));
    copyFileSync(join(root, 'scripts', 'load.mjs'), join(folder, 'load.js'));
    const { dependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    const functions = Object.keys(dependencies).filter((name) => name.startsWith('@stdlib/'));
    const called = functions.map((name) => `exports['${name}'] = () => require('${name}');`);
    const stdlib = await writeScript(root, folder, 'stdlib', called.join(''));
    const files = new Map();
    for (const [script, names] of Object.entries(apart)) {
        const file = await writeScript(
            root,
            folder,
            script,
            names.map((name) => `export * from '${name}';`).join(''),
        );
        for (const name of names) files.set(name, file);
    }
    const program = await writeScript(
        root,
        folder,
        'program',
        `exports.main = () => require('./src/cli/main.ts').main();
        exports.run = (words) => require('./src/cli/program.ts').runProgram(words, new AbortController().signal);
        exports.library = () => require('./src/library/index.ts');`,
        [
            packagesApart(files),
            packagesByName(stdlib),
            reportsByName(root),
            statisticsFingerprint(fingerprint),
        ],
    );
    const write = (file, text) => {
        mkdirSync(dirname(join(folder, file)), { recursive: true });
        writeFileSync(join(folder, file), text);
    };
    write(
        'src/cli/main.js',
        `#!/usr/bin/env node\nimport { load } from '../../load.js';\nawait load('${program}').main();\n`,
    );
    // Another program's process keeps its flags and its way of reading scripts.
    write(
        'src/library/index.js',
        `import { createRequire } from 'node:module';
const { library } = createRequire(import.meta.url)('../../program/${basename(program)}');
export const { ${library.join(', ')} } = library();\n`,
    );
    execFileSync(process.execPath, [join(root, 'scripts', 'compile.mjs'), folder, program]);
}
