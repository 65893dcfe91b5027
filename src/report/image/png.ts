import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { initWasm, Resvg } from '@resvg/resvg-wasm';
import { packageRoot } from '../../packageRoot.js';

const FONT = 'DejaVu Sans';

/** What `scripts/build.mjs` copies beside the program: the rasteriser and the font that it writes with. */
const shipped = (name: string) => readFileSync(join(packageRoot(), 'dist', 'raster', name));

let ready: Promise<readonly Uint8Array[]> | undefined;

async function start(): Promise<readonly Uint8Array[]> {
    await initWasm(shipped('resvg.wasm'));
    return [shipped('DejaVuSans.ttf'), shipped('DejaVuSans-Bold.ttf')];
}

/** An SVG as PNG, two pixels for each of its own. Text is written in DejaVu Sans, whatever fonts the machine has. */
export async function pngOf(svg: string): Promise<Uint8Array> {
    ready ??= start();
    const fontBuffers = [...(await ready)];
    const picture = new Resvg(svg, {
        font: { fontBuffers, defaultFontFamily: FONT, sansSerifFamily: FONT },
        fitTo: { mode: 'zoom', value: 2 },
    });
    try {
        return picture.render().asPng();
    } finally {
        picture.free();
    }
}
