import {
    appendFileSync,
    existsSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    rmSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { openDatabase } from '../../src/db/openDatabase.js';
import { watched } from '../../src/errors/sheetMessages.js';
import { Settling } from '../../src/load/watch/arrivals.js';
import { FolderWatch } from '../../src/load/watch/watchFolder.js';

const folder = mkdtempSync(join(tmpdir(), 'watch-'));
const db = join(folder, 'a.duckdb');
const root = join(folder, 'inbox');
const warned: string[] = [];
const options = { settleSeconds: 0, warn: (text: string) => warned.push(text) };
afterAll(() => rmSync(folder, { recursive: true }));

const head = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg';
const line = (visit: string, camber: string) => `A,X,FL,2026-03-01,${visit},check,before,${camber}`;

async function count(): Promise<unknown> {
    const opened = await openDatabase({ file: db, mode: 'read' });
    try {
        return (await opened.cells('select count(*) as n, count(distinct visit) as visits from readings'))[0];
    } finally {
        opened.close();
    }
}

test('a file is whole once size and time stood still, ten times as long where it ends within a line', () => {
    let now = 0;
    const settling = new Settling(2, () => now);
    const path = join(folder, 'a.csv');
    const whole = (text: string, at: number) => {
        now = at;
        writeFileSync(path, text);
        const size = text.length;
        return settling.whole([{ folder: '', name: 'a.csv', path, map: null, size, mtimeMs: 1 }]).length;
    };
    const line = [
        whole('a\n', 0),
        whole('a\n', 1900),
        whole('a\nb\n', 2100),
        whole('a\nb\n', 4000),
        whole('a\nb\n', 4100),
    ];
    expect(line).toEqual([0, 0, 0, 0, 1]);
    expect([whole('a', 5000), whole('a', 8000), whole('a', 25_000)]).toEqual([0, 0, 1]);
});

test('files go where they belong, with a line each; what grows is taken again, also by the next process', async () => {
    const watch = new FolderWatch(root, db, options);
    expect(await watch.look()).toEqual([]);
    mkdirSync(join(root, 'rack-1'));
    writeFileSync(join(root, 'rack-1', 'map.yaml'), 'kind: readings\ncolumns:\n  vehicle: {from: Car}\n');
    writeFileSync(join(root, 'good.csv'), `${head}\n${line('v1', '-1')}\n`);
    writeFileSync(join(root, 'bad.csv'), `${head}\n${line('v2', '-1')}\n${line('v3', 'x')}\n`);
    writeFileSync(join(root, 'junk.csv'), 'what\n');
    writeFileSync(join(root, 'half.csv.part'), head);
    writeFileSync(join(root, 'rack-1', 'other.csv'), 'Car\nA\n');
    const rows = await watch.look();
    expect(rows.map(watched)).toEqual([
        'bad.csv: 1 new, 1 row set aside: see set-aside/bad.csv',
        'good.csv: 1 new',
        expect.stringMatching(/^junk\.csv: set aside, .*header/),
    ]);
    // A map that cannot be used leaves its files where they are.
    expect(warned).toEqual([expect.stringContaining('map.yaml')]);
    expect(existsSync(join(root, 'rack-1', 'other.csv'))).toBe(true);
    expect(readdirSync(join(root, 'set-aside')).sort()).toEqual([
        'bad.csv',
        'bad.rejects.csv',
        'bad.rejects.reasons.csv',
        'junk.csv',
        'junk.csv.reason.txt',
    ]);
    expect(readFileSync(join(root, 'set-aside', 'bad.rejects.csv'), 'utf8')).toBe(
        `${head}\n${line('v3', 'x')}\n`,
    );
    expect(await count()).toEqual({ n: 2, visits: 2 });
    appendFileSync(join(root, 'taken', 'good.csv'), `${line('v4', '-1')}\n`);
    const next = new FolderWatch(root, db, options);
    expect((await next.look()).map(watched)).toEqual(['good.csv: 1 new, 1 known']);
    // A file of a known name is another file.
    writeFileSync(join(root, 'good.csv'), `${head}\n${line('v5', '-1')}\n`);
    expect((await next.look())[0]).toMatchObject({ moved_to: 'taken/good-2.csv', loaded_count: 1 });
    expect(await next.look()).toEqual([]);
    expect(await count()).toEqual({ n: 4, visits: 4 });
});
