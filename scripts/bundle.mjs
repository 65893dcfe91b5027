import { randomUUID } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
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

/** Packages that are asked for by name at their first call: in the bundle, each is read then. */
const packagesByName = (root) => ({
    name: 'packages-by-name',
    setup({ onLoad }) {
        const { dependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
        const entries = Object.keys(dependencies)
            .filter((name) => name.startsWith('@stdlib/'))
            .map((name) => `'${name}': () => require('${name}'),`);
        onLoad({ filter: /src\/stats\/requirePackage\.ts$/ }, () => ({
            contents: `const packages = { ${entries.join(' ')} };
                export const requirePackage = (name) => packages[name]();`,
            resolveDir: root,
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

/** What the bundle is told of its sources: the hash of src/stats, and what the queries name. */
async function factsOf(root) {
    const { packageReferences, fingerprintOf } = await sourcesOf(
        root,
        `export { packageReferences } from './src/model/packageReferences.ts';
        export { fingerprintOf } from './src/stats/fingerprint.ts';`,
    );
    return {
        references: await packageReferences(),
        fingerprint: fingerprintOf(join(root, 'src', 'stats')),
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

/**
 * Bundles the program into `folder`: the command line, the library, and each command and page as a file that is read when it is asked for. Node
 * takes longer to find and read hundreds of small files than these few.
 */
export async function bundleProgram(root, folder) {
    const { references, fingerprint } = await factsOf(root);
    mkdirSync(folder, { recursive: true });
    replaceFile(join(folder, 'references.json'), JSON.stringify(references));
    const reports = readdirSync(join(root, 'reports')).map((name) => `reports/${name}/report.ts`);
    await build({
        absWorkingDir: root,
        entryPoints: ['src/cli/main.ts', 'src/library/index.ts', ...reports],
        outbase: '.',
        outdir: folder,
        chunkNames: 'chunks/[name]-[hash]',
        bundle: true,
        splitting: true,
        minifyWhitespace: true,
        format: 'esm',
        platform: 'node',
        target: 'node20',
        // The only package that is more than script.
        external: ['@duckdb/node-bindings'],
        banner: {
            js: "import { createRequire } from 'node:module';\nconst require = createRequire(import.meta.url);",
        },
        logLevel: 'warning',
        plugins: [englishOnly, packagesByName(root), statisticsFingerprint(fingerprint)],
    });
}
