import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { landingLegend } from '../../reports/card/landing.js';
import type { Database } from '../../src/db/database.js';
import { UserError } from '../../src/errors/errors.js';
import { pngOf } from '../../src/report/image/png.js';
import { writeImages } from '../../src/report/image/writeImages.js';
import { markup } from '../support/pages/slopes.js';
import { reportDatabase } from '../support/reportDatabase.js';

const out = mkdtempSync(join(tmpdir(), 'strutmark-images-'));
const require = createRequire(import.meta.url);
let db: Database;
beforeAll(async () => {
    db = await reportDatabase('card');
});
afterAll(() => rmSync(out, { recursive: true }));

/** Width and height in the header of a PNG (ISO/IEC 15948, 11.2.2). */
const pngSize = (png: Uint8Array) => [Buffer.from(png).readUInt32BE(16), Buffer.from(png).readUInt32BE(20)];

describe('pictures of a page without a browser', () => {
    test('svg stands alone: its own colours, no variable, no address but the namespace, names as text', async () => {
        const written = await writeImages(db, ['card'], out, 'svg');
        expect(written[0]!.file).toBe(join(out, 'card-1.svg'));
        for (const { file, bytes } of written) {
            const svg = readFileSync(file, 'utf8');
            expect(Buffer.byteLength(svg)).toBe(bytes);
            expect(svg).toMatch(
                /^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg"[^>]* width="\d+" height="\d+"/,
            );
            expect(svg).not.toMatch(/var\(|<img|NaN|undefined/);
            expect(svg.replace(/xmlns(:xlink)?="[^"]*"/g, '')).not.toMatch(/https?:/);
            expect(svg).toContain('<title>');
        }
        expect(readFileSync(written[0]!.file, 'utf8')).toContain('.plan .strong');
        // Understood alone: title and legend are part of the picture.
        const [, landing] = written.map(({ file }) => readFileSync(file, 'utf8'));
        const words = [...landing!.matchAll(/<text[^>]*>([^<]*)/g)].map(([, text]) => text).join(' ');
        expect(words).toContain(/<title>([^<]*)/.exec(landing!)![1]!);
        for (const { label } of landingLegend) expect(words).toContain(label);
    });

    test('png has two pixels for each of the svg and is the same every time', async () => {
        const [first, ...others] = await writeImages(db, ['card'], out, 'png');
        const svg = readFileSync(join(out, 'card-1.svg'), 'utf8');
        const [, width, height] = / width="(\d+)" height="(\d+)"/.exec(svg)!;
        expect(pngSize(readFileSync(first!.file))).toEqual([2 * Number(width), 2 * Number(height)]);
        expect(Buffer.from(await pngOf(svg)).equals(readFileSync(first!.file))).toBe(true);
        expect(others.length).toBeGreaterThan(0);
    });

    test('the font that comes along draws text: without it the picture would be another', async () => {
        const page = (text: string) =>
            `<svg xmlns="http://www.w3.org/2000/svg" width="200" height="40"><text x="5" y="25" font-family="system-ui, sans-serif" font-size="16">${text}</text></svg>`;
        const [written, blank] = [await pngOf(page('−1.25° ±0.15')), await pngOf(page(''))];
        expect(Buffer.from(written).equals(Buffer.from(blank))).toBe(false);
    });

    test('vl.json is valid Vega-Lite with its rows', async () => {
        const schema = JSON.parse(readFileSync(require.resolve('vega-lite/vega-lite-schema.json'), 'utf8'));
        const validate = new Ajv({
            strict: false,
            formats: { 'color-hex': true, uri: true },
            logger: false,
        }).compile(schema);
        const written = await writeImages(db, ['card'], out, 'vl.json');
        for (const { file } of written) {
            const spec = JSON.parse(readFileSync(file, 'utf8'));
            expect(validate(spec), JSON.stringify(validate.errors?.[0])).toBe(true);
            expect(JSON.stringify(spec)).not.toContain('var(');
            expect(spec.datasets.settings.length).toBeGreaterThan(0);
        }
        const { file } = written[0]!;
        expect(JSON.parse(readFileSync(file, 'utf8')).datasets.settings[0]).toHaveProperty('camber_deg');
        expect(
            written.some((one) =>
                readFileSync(one.file, 'utf8').includes(JSON.stringify(markup).slice(1, -1)),
            ),
        ).toBe(true);
    });

    test('a page without a picture says so', async () => {
        await expect(writeImages(db, ['card'], out, 'svg', { vehicle: 'not there' })).rejects.toThrow(
            UserError,
        );
    });
});
