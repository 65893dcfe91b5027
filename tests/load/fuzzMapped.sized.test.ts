import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readMap } from '../../src/load/map/readMap.js';
import { FuzzBench } from '../support/fuzz.js';
import { generator, mutate } from '../support/mutations.js';
import { sized } from '../support/sized.js';

/** Mutated files that come with a map: files of three office programs and languages, and odd ones by hand. */

const FILES = sized(50, 150);
const BATCH = 25;

const cases = join(import.meta.dirname, '../../fixtures/cases/map');
const originals = readdirSync(cases, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => {
        const file = readdirSync(join(cases, name)).find((one) => one.startsWith('export'))!;
        const bytes = readFileSync(join(cases, name, file));
        // Title and header lines take up to 45 % of these small files.
        return { bytes, first: Math.floor(bytes.length * 0.45), map: readMap(join(cases, name, 'map.yaml')) };
    });

test(`${FILES} mutated files with maps`, async () => {
    const bench = await FuzzBench.open();
    try {
        const random = generator(20260501);
        const others = originals.map(({ bytes }) => bytes);
        for (let n = 0; n < FILES; n += BATCH) {
            const { bytes, first, map } = originals[(n / BATCH) % originals.length]!;
            const batch = Array.from({ length: BATCH }, () => mutate(bytes, first, others, random));
            await bench.check(batch, { map, replace: random(3) === 0 });
        }
        expect(bench.takenCount).toBeGreaterThan(FILES / 2);
        expect(bench.rejectCount).toBeGreaterThan(FILES);
        await bench.checkKeys();
    } finally {
        bench.close();
    }
});
