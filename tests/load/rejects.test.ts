import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { UserError } from '../../src/errors/errors.js';
import { fileExists } from '../../src/errors/messages.js';
import { listRejects, writeRejects } from '../../src/load/rejects.js';
import { type LoadBench, loadBench } from '../support/loading.js';

let bench: LoadBench;
beforeEach(async () => {
    bench = await loadBench();
});
afterEach(() => bench.close());

const kits = 'kit,mark_pitch_mm,note\r\nK1,2,\r\nK2,"2,5",naive\r\nK3,two,"a\r\nb"\r\nK4,2,"open\r\n';
const mend = () => join(bench.folder, 'mend.csv');

test('writes rows to mend byte for byte, and reasons beside them', async () => {
    await bench.load(
        'kits.csv',
        Buffer.concat([Buffer.from(kits), Buffer.from('K5,2,na\xefve\n', 'latin1')]),
    );
    expect(await writeRejects(bench.db, mend())).toEqual([
        { file: mend(), reasons_file: join(bench.folder, 'mend.reasons.csv'), kind: 'kits', row_count: 4 },
    ]);
    const wanted = 'kit,mark_pitch_mm,note\nK2,"2,5",naive\nK3,two,"a\r\nb"\nK4,2,"open\nK5,2,na\xefve\n';
    expect(readFileSync(mend(), 'latin1')).toBe(wanted);
    const reasons = readFileSync(join(bench.folder, 'mend.reasons.csv'), 'utf8').split('\n');
    expect(reasons.map((line) => line.split(',').slice(0, 2).join())).toEqual([
        'line,column',
        '"2","mark_pitch_mm"',
        '"3","mark_pitch_mm"',
        '"5","note"',
        '"6",',
        '',
    ]);
    expect(reasons[3]).toContain(`line 6 of ${join(bench.folder, 'kits.csv')}`);
});

test('a byte order mark at the start of a row is kept', async () => {
    await bench.load('kits.csv', 'kit,mark_pitch_mm\n\ufeff\n\ufeffK1\n');
    await writeRejects(bench.db, mend());
    expect(readFileSync(mend(), 'utf8')).toBe('kit,mark_pitch_mm\n\ufeff\n\ufeffK1\n');
});

test('the rows written wait no longer once the mended file is loaded; those still wrong come back', async () => {
    await bench.load('kits.csv', kits);
    await writeRejects(bench.db, mend());
    expect(await listRejects(bench.db)).toHaveLength(3);
    const mended = readFileSync(mend(), 'utf8').replace('"2,5"', '2.5').replace('"open', 'closed');
    const { rows } = await bench.load('mend.csv', mended);
    expect(rows[0]).toMatchObject({ read_count: 3, loaded_count: 2, rejected_count: 1 });
    expect((await listRejects(bench.db)).map(({ file, line, text }) => ({ file, line, text }))).toEqual([
        { file: mend(), line: 3, text: 'K3,two,"a\r\nb"' },
    ]);
});

test('rows with different headers go to different files; --file picks one', async () => {
    await bench.load('kits.csv', kits);
    await bench.load('more.csv', 'mark_pitch_mm,kit\nx,K9\n');
    await bench.load('shafts.csv', 'shaft,seat_diameter_mm,shoulder_length_mm,thread_length_mm\ns,x,y,z\n');
    const written = await writeRejects(bench.db, mend());
    expect(written.map(({ file, kind, row_count }) => [file, kind, row_count])).toEqual([
        [join(bench.folder, 'mend-kits.csv'), 'kits', 3],
        [join(bench.folder, 'mend-kits-2.csv'), 'kits', 1],
        [join(bench.folder, 'mend-shafts.csv'), 'shafts', 1],
    ]);
    const one = join(bench.folder, 'shafts.csv');
    expect((await listRejects(bench.db, one)).map(({ text }) => text)).toEqual(['s,x,y,z']);
    expect(await writeRejects(bench.db, join(bench.folder, 'one.csv'), one)).toMatchObject([
        { row_count: 1 },
    ]);
});

test('never writes over a file, and writes none when nothing waits', async () => {
    expect(await writeRejects(bench.db, mend()).catch((error) => error)).toBeInstanceOf(Error);
    await bench.load('good.csv', 'kit,mark_pitch_mm\nK1,2\n');
    expect(await writeRejects(bench.db, mend())).toEqual([]);
    expect(existsSync(mend())).toBe(false);
    await bench.load('kits.csv', kits);
    writeFileSync(mend(), 'mine');
    await expect(writeRejects(bench.db, mend())).rejects.toThrow(
        new UserError(fileExists(mend()), 'cannot_write'),
    );
    expect(readFileSync(mend(), 'utf8')).toBe('mine');
});

test('a row of another file that mends a row set aside clears it; one with another key, or a fault in the key, does not', async () => {
    await bench.load('kits.csv', 'kit,mark_pitch_mm\nK1,x\nK2,y\n"",2\n');
    await bench.load('other.csv', 'mark_pitch_mm,kit\n2,K1\n3,K7\n');
    expect((await listRejects(bench.db)).map(({ line }) => line)).toEqual([3, 4]);
});
