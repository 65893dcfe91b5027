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

/** Bundles script and style of the pages from `src/report/browser` into `<root>/dist/browser`. */
export async function bundle(root) {
    await build({
        absWorkingDir: root,
        entryPoints: ['src/report/browser/runtime.ts', 'src/report/browser/page.css'],
        outdir: 'dist/browser',
        bundle: true,
        minify: true,
        format: 'iife',
        target: ['es2022', 'chrome105', 'firefox121', 'safari16'],
        charset: 'utf8',
        legalComments: 'none',
        logLevel: 'warning',
        plugins: [leaveOut],
    });
}
