import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import { z } from 'zod';
import { loadRow } from '../../src/contracts/results/load.js';
import { tables } from '../../src/contracts/tables.js';
import { Database, identifier } from '../../src/db/database.js';
import { historyTable } from '../../src/db/schema.js';
import type { LoadOptions } from '../../src/load/loadFiles.js';
import { singleByteEncoder } from '../../src/load/map/singleByte.js';
import type { Encoding } from '../../src/load/source.js';
import { spoolFolder } from '../../src/load/spoolFolder.js';
import { loadInto } from './loading.js';

const byteOrderMarks: [string, Encoding][] = [
    ['fffe', 'utf-16le'],
    ['feff', 'utf-16be'],
    ['efbbbf', 'utf-8'],
];

/** Bytes of a file with what a reader needs to find its lines: encoding, size of a code unit and of the byte order mark. */
function layoutOf(bytes: Buffer, otherwise: Encoding) {
    const mark = byteOrderMarks.find(([hex]) => bytes.toString('hex', 0, hex.length / 2) === hex);
    const encoding = mark?.[1] ?? otherwise;
    const unitBytes = encoding.startsWith('utf-16') ? 2 : 1;
    const unitAt = (at: number) => {
        if (unitBytes === 1) return bytes[at];
        return encoding === 'utf-16le' ? bytes.readUInt16LE(at) : bytes.readUInt16BE(at);
    };
    return { encoding, unitBytes, unitAt, markBytes: (mark?.[0].length ?? 0) / 2 };
}

type Layout = ReturnType<typeof layoutOf>;

/** Where each physical line begins; LF, CRLF and CR end one. */
function lineStarts(bytes: Buffer, { unitBytes, unitAt, markBytes }: Layout): number[] {
    const starts = [markBytes];
    for (let at = markBytes; at < bytes.length; at += unitBytes) {
        const next = at + unitBytes;
        if (unitAt(at) === 10 || (unitAt(at) === 13 && !(next < bytes.length && unitAt(next) === 10)))
            starts.push(next);
    }
    return starts;
}

/** Bytes of `text` as a file in `encoding` holds it. */
function encoded(text: string, encoding: Encoding): Buffer {
    if (encoding === 'utf-16le') return Buffer.from(text, 'utf16le');
    if (encoding === 'utf-16be') return Buffer.from(text, 'utf16le').swap16();
    return singleByteEncoder(encoding)?.(text) ?? Buffer.from(text);
}

const taken = z.object({
    load_id: z.int(),
    path: z.string(),
    rejects: z.array(
        z.object({
            line: z.int(),
            reason: z.string().min(5),
            text: z.string(),
            bytes: z.string().nullable(),
        }),
    ),
    stored_count: z.int(),
});

/** Rows that a load brought, also those that a later one superseded. */
const storedRows = tables
    .flatMap(({ kind }) => [kind, historyTable(kind)])
    .map((table) => `select load_id from ${identifier(table)}`)
    .join(' union all ');

/** A database in memory into which batches of files are loaded; each batch is checked row by row. */
export class FuzzBench {
    readonly #db: Database;
    readonly #spool: string;
    #fileCount = 0;
    takenCount = 0;
    rejectCount = 0;

    private constructor(db: Database, spool: string) {
        this.#db = db;
        this.#spool = spool;
    }

    static async open(): Promise<FuzzBench> {
        const spool = spoolFolder();
        return new FuzzBench(
            await Database.open({ file: ':memory:', mode: 'create', paths: [spool], threads: 1 }),
            spool,
        );
    }

    /**
     * Loads files with the same options: none may fail but with a reason, counts must add up to the rows read, and every
     * row set aside must be found again in its file, byte for byte.
     */
    async check(files: readonly Buffer[], options: LoadOptions): Promise<void> {
        const folder = mkdtempSync(join(this.#spool, 'input-'));
        const paths = files.map((bytes) => {
            const path = join(folder, `${++this.#fileCount}.csv`);
            writeFileSync(path, bytes);
            return path;
        });
        const { rows, refused } = await loadInto(this.#db, this.#spool, paths, options);
        expect([...rows, ...refused].map(({ file }) => file).sort()).toEqual([...paths].sort());
        const counts = new Map(rows.map((row) => [row.file, loadRow.parse(row)]));
        for (const row of counts.values()) {
            expect(row.loaded_count + row.duplicate_count + row.rejected_count, row.file).toBe(
                row.read_count,
            );
        }
        for (const load of await this.#loadsOf(folder)) {
            const { loaded_count, rejected_count } = counts.get(load.path)!;
            expect([load.stored_count, load.rejects.length], load.path).toEqual([
                loaded_count,
                rejected_count,
            ]);
            this.#checkRejects(files[paths.indexOf(load.path)]!, load.rejects, options);
        }
        this.takenCount += rows.length;
        rmSync(folder, { recursive: true });
    }

    async #loadsOf(folder: string) {
        return this.#db.rows(
            taken,
            `with stored as (select load_id, count(*) as stored_count from (${storedRows}) group by load_id)
            select
                load_id,
                path,
                coalesce(
                    list({'line': line, 'reason': reason, 'text': hex(encode(text)), 'bytes': hex(bytes)}) filter (line is not null),
                    []
                ) as rejects,
                coalesce(any_value(stored_count), 0) as stored_count
            from loads
            left join rejects using (load_id)
            left join stored using (load_id)
            where starts_with(path, $folder)
            group by all`,
            { folder },
        );
    }

    #checkRejects(file: Buffer, rejects: z.infer<typeof taken>['rejects'], { map }: LoadOptions): void {
        const layout = layoutOf(file, map?.map.encoding ?? 'utf-8');
        const starts = lineStarts(file, layout);
        for (const { line, text, bytes } of rejects) {
            const start = starts[line - 1]!;
            const original =
                bytes === null
                    ? encoded(Buffer.from(text, 'hex').toString(), layout.encoding)
                    : Buffer.from(bytes, 'hex');
            const end = start + original.length;
            expect(file.subarray(start, end)).toEqual(original);
            if (end < file.length) expect([10, 13]).toContain(layout.unitAt(end));
        }
        this.rejectCount += rejects.length;
    }

    /** No key may stand on two rows. */
    async checkKeys(): Promise<void> {
        const twice = await this.#db.cells(
            'select vehicle from readings group by vehicle, corner, visit, phase, coalesce(repeat, 1) having count(*) > 1',
        );
        expect(twice).toEqual([]);
    }

    close(): void {
        this.#db.close();
        rmSync(this.#spool, { recursive: true });
    }
}
