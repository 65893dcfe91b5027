import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { tables } from '../../src/contracts/tables.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { readMap } from '../../src/load/map/readMap.js';
import { listRejects } from '../../src/load/rejects.js';
import { type LoadBench, loadBench } from '../support/loading.js';

let bench: LoadBench;
const folder = mkdtempSync(join(tmpdir(), 'names-'));
beforeAll(async () => {
    bench = await loadBench();
});
afterAll(() => {
    bench.close();
    rmSync(folder, { recursive: true });
});

/** Of each kind that Unicode lets nobody see; U+0000 to U+001F but tab and line ends, and U+007F, are refused before. */
const unseen = [
    ...'\t\n\r\u0080\u0085\u009b\u009f\u00ad\u061c\u180e\u200b\u200e\u200f\u2028\u2029\u202a\u202e\u2060\u2066\u2069\ufeff\ufffb',
];
const quoted = (cell: string) => `"${cell.replaceAll('"', '""')}"`;

test('a name holds what can be seen: one rule for all names, told with the character', async () => {
    const words = fc.sample(
        fc.string({ unit: fc.constantFrom(...'aZ9 -_/"äß数😀é'), minLength: 1, maxLength: 5 }),
        {
            seed: 21,
            numRuns: unseen.length,
        },
    );
    const bad = unseen.map((sign, n) => `${n}${words[n]!}${sign}x`);
    const good = [
        ...words.map((word, n) => `${n}${word}x`),
        'x'.repeat(200),
        '😀'.repeat(200),
        'می‌خواهم',
        '👨‍👩‍👧',
    ];
    const rows = [...bad, ...good, 'y'.repeat(201)].map((name) => `${quoted(name)},2,"note${unseen[0]}\n"`);
    const { rows: reports } = await bench.load(
        'kits.csv',
        ['kit,mark_pitch_mm,note', ...rows, ''].join('\n'),
    );
    expect(reports).toMatchObject([{ loaded_count: good.length, rejected_count: bad.length + 1 }]);
    expect((await bench.db.cells('select kit from kits order by source_line')).map(({ kit }) => kit)).toEqual(
        good,
    );
    const rejects = await listRejects(bench.db);
    for (const [n, sign] of unseen.entries()) {
        const code = sign.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0');
        expect(rejects[n]!.column).toBe('kit');
        expect(rejects[n]!.reason).toContain(`(U+${code}), which a name may not: delete it`);
    }
    expect(rejects.at(-1)!.reason).toContain('longer than 200 characters');
});

test('the same with a map', async () => {
    writeFileSync(join(folder, 'map.yaml'), 'kind: kits\ncolumns:\n  kit: K\n  mark_pitch_mm: P\n');
    const file = join(folder, 'theirs.csv');
    writeFileSync(file, ['K,P', 'A\u202e1,2', 'A1,2', 'A\u0085z,2', `${'x'.repeat(201)},2`, ''].join('\n'));
    const { rows } = await loadFiles([file], join(folder, 'x.duckdb'), {
        map: readMap(join(folder, 'map.yaml')),
    });
    expect(rows).toMatchObject([{ loaded_count: 1, rejected_count: 3 }]);
});

test('every text but a note, and how a limit is measured, is a name', () => {
    const free = ['note', 'measured'];
    for (const { kind, columns } of tables) {
        const texts = columns.filter(({ type }) => type === 'text');
        expect(
            texts.filter(({ pattern }) => pattern === null).map(({ name }) => name),
            kind,
        ).toEqual(columns.map(({ name }) => name).filter((name) => free.includes(name)));
    }
});
