import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { FuzzBench } from '../support/fuzz.js';
import { generator, mutate } from '../support/mutations.js';
import { sized } from '../support/sized.js';

/** Mutated files: whatever comes, every row read is accounted for and every row set aside can be got back. */

const FILES = sized(75, 300);
const BATCH = 25;

function originals(): Buffer[] {
    const cases = join(import.meta.dirname, '../../fixtures/cases/load');
    return readdirSync(cases, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.name.endsWith('.csv'))
        .map((entry) => join(entry.parentPath, entry.name))
        .sort()
        .map((path) => readFileSync(path))
        .filter((bytes) => bytes.length > 40);
}

/** The same rows of cars that no other file knows, so that not all files clash. */
function renamed(bytes: Buffer, n: number): Buffer {
    return Buffer.from(bytes.toString('latin1').replace(/^([VKQ])(?=\d)/gm, `$1${n}-`), 'latin1');
}

test(`${FILES} mutated files`, async () => {
    const bench = await FuzzBench.open();
    try {
        const files = originals();
        const random = generator(20240501);
        for (let n = 0; n < FILES; n += BATCH) {
            const batch = Array.from({ length: BATCH }, (_, index) => {
                const original = files[random(files.length)]!;
                const bytes = random(4) === 0 ? original : renamed(original, n + index);
                return mutate(bytes, bytes.indexOf('\n') + 1, files, random);
            });
            await bench.check(batch, { replace: random(3) === 0 });
        }
        expect(bench.takenCount).toBeGreaterThan(FILES / 2);
        expect(bench.rejectCount).toBeGreaterThan(FILES);
        await bench.checkKeys();
    } finally {
        bench.close();
    }
});
