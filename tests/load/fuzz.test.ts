import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { loadRow } from '../../src/contracts/results/load.js';
import { type LoadBench, loadBench } from '../support/loading.js';

/** Mutated files: whatever comes, every row read is accounted for and every row set aside can be got back. */

const FILES = 400;

/** Park and Miller's minimal standard generator (Communications of the ACM 31, 1988), for the same files every time. */
function generator(seed: number): (below: number) => number {
    let state = seed;
    return (below) => {
        state = (state * 48271) % 2147483647;
        return state % below;
    };
}

function originals(): Buffer[] {
    const cases = join(import.meta.dirname, '../../fixtures/cases/load');
    return readdirSync(cases, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.name.endsWith('.csv'))
        .map((entry) => join(entry.parentPath, entry.name))
        .sort()
        .map((path) => readFileSync(path));
}

const pieces = [
    '"',
    '""',
    ',',
    ',,',
    '\n',
    '\r',
    '\r\n',
    '\0',
    ';',
    '\ufeff',
    'é',
    '\u00a0',
    '1e999',
    '-',
    ' ',
    '\u001f',
    '"\n"',
    'FL',
].map((text) => Buffer.from(text));
const strayBytes = [0x80, 0xc2, 0xe2, 0xf0, 0xff].map((code) => Buffer.from([code]));

/** One to six changes: insert, delete, replace, repeat, cut off, or swap in a stretch of another file. */
function mutate(bytes: Buffer, others: readonly Buffer[], random: (below: number) => number): Buffer {
    let result = bytes;
    // A header that does not fit ends the matter: mostly it stays as it is.
    const first = random(4) === 0 ? 0 : bytes.indexOf('\n') + 1;
    for (let changes = 1 + random(6); changes > 0; changes--) {
        const at = Math.min(result.length, first + random(Math.max(result.length - first, 0) + 1));
        const length = random(40);
        const head = result.subarray(0, at);
        const tail = result.subarray(at + length);
        const some = [...pieces, ...strayBytes][random(pieces.length + strayBytes.length)]!;
        const other = others[random(others.length)]!;
        const from = random(other.length + 1);
        const kinds = [
            () => Buffer.concat([head, some, result.subarray(at)]),
            () => Buffer.concat([head, tail]),
            () => Buffer.concat([head, some, tail]),
            () => Buffer.concat([head, result.subarray(at, at + length), result.subarray(at)]),
            () => (random(4) === 0 ? head : result),
            () => Buffer.concat([head, other.subarray(from, from + 200), result.subarray(at)]),
        ];
        result = kinds[random(kinds.length)]!();
    }
    return result;
}

/** The text of the file as load sees it: UTF-8 without byte order mark. */
function asUtf8(bytes: Buffer): Buffer {
    const encoding = { fffe: 'utf-16le', feff: 'utf-16be' }[bytes.toString('hex', 0, 2)];
    if (encoding !== undefined) return Buffer.from(new TextDecoder(encoding).decode(bytes));
    return bytes.toString('hex', 0, 3) === 'efbbbf' ? bytes.subarray(3) : bytes;
}

/** Where each physical line begins; LF, CRLF and CR end one. */
function lineStarts(text: Buffer): number[] {
    const starts = [0];
    for (let i = 0; i < text.length; i++) {
        const lineFeed = text[i] === 10;
        if (lineFeed || (text[i] === 13 && text[i + 1] !== 10)) starts.push(i + 1);
    }
    return starts;
}

const rejected = z.object({ line: z.int(), reason: z.string().min(5), hex: z.string() });

async function check(bench: LoadBench, name: string, bytes: Buffer, replace: boolean): Promise<boolean> {
    const before = await bench.db.cells('select count(*) as count from readings');
    const { rows, refused } = await bench.load(name, bytes, { replace });
    if (refused.length > 0) {
        expect(rows).toEqual([]);
        expect(await bench.db.cells('select count(*) as count from readings')).toEqual(before);
        return false;
    }
    const row = loadRow.parse(rows[0]);
    expect(row.loaded_count + row.duplicate_count + row.rejected_count).toBe(row.read_count);
    const found = await bench.db.rows(
        rejected,
        `select line, reason, coalesce(hex(bytes), hex(text)) as hex from rejects
        where cleared_by is null and load_id = (select load_id from loads order by load_id desc limit 1)`,
    );
    const [last] = await bench.db.cells('select file from loads order by load_id desc limit 1');
    if (!String(last!.file).endsWith(`/${name}`)) return true;
    expect(found).toHaveLength(row.rejected_count);
    const text = asUtf8(bytes);
    const starts = lineStarts(text);
    for (const { line, hex } of found) {
        const start = starts[line - 1]!;
        const original = Buffer.from(hex, 'hex');
        expect(text.subarray(start, start + original.length)).toEqual(original);
        expect([undefined, 10, 13]).toContain(text[start + original.length]);
    }
    return true;
}

test(`${FILES} mutated files`, async () => {
    const bench = await loadBench();
    try {
        await bench.load('first.csv', 'kit,mark_pitch_mm\nK1,2\n');
        const files = originals();
        const random = generator(20240501);
        let taken = 0;
        for (let n = 0; n < FILES; n++) {
            const bytes = mutate(files[n % files.length]!, files, random);
            if (await check(bench, `${n}.csv`, bytes, random(3) === 0)) taken++;
        }
        expect(taken).toBeGreaterThan(FILES / 4);
        const tables = ['readings', 'kits', 'shafts'];
        for (const table of tables) {
            const [count] = await bench.db.cells(
                `select count(*) = count(distinct (load_id, source_line)) as unique_lines from ${table}`,
            );
            expect(count!.unique_lines).toBe(true);
        }
        const twice = await bench.db.cells(
            'select vehicle from readings group by vehicle, corner, visit, phase, coalesce(repeat, 1) having count(*) > 1',
        );
        expect(twice).toEqual([]);
    } finally {
        bench.close();
    }
});
