import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { parseMap } from '../../src/load/map/readMap.js';
import { listRejects, writeRejects } from '../../src/load/rejects.js';
import { type LoadBench, loadBench } from '../support/loading.js';

let bench: LoadBench;
beforeEach(async () => {
    bench = await loadBench();
});
afterEach(() => bench.close());

const mapOf = (text: string) => ({ file: 'map.yaml', text, map: parseMap('map.yaml', text) });

const wide = mapOf(`
encoding: windows-1252
delimiter: ";"
decimal: ","
skip_lines: 1
unfold:
  corner: { VL: FL, VR: FR }
columns:
  vehicle: Wagen
  chassis: { constant: OTTER }
  measured_at: { column: Tag, date: day-first }
  visit: Auftrag
  visit_kind: { constant: check }
  phase: { constant: before }
  camber_deg: Sturz {corner}
  note: Notiz
`);

const title = 'Prüfung\n';
const header = 'Wagen;Tag;Auftrag;Sturz VL;Sturz VR;Notiz\n';
const latin1 = (text: string) => Buffer.from(text, 'latin1');

const readings = () =>
    bench.db.cells('select corner, camber_deg, note, source_line from readings order by source_line, corner');

test('rows set aside are written below all lines above the data, are mended and load with the map', async () => {
    const faulty = "Käfer;1.5.2026;1;-1,5;-1°30';naß\nKäfer;2.5.2026;2;x;y;naß\n";
    const { rows } = await bench.load('a.csv', latin1(title + header + faulty), { map: wide });
    expect(rows[0]).toMatchObject({ read_count: 4, loaded_count: 1, rejected_count: 3, source_row_count: 2 });
    expect((await listRejects(bench.db)).map(({ line, column }) => `${line} ${column}`)).toEqual([
        '3 Sturz VR',
        '4 Sturz VL',
        '4 Sturz VR',
    ]);
    const mend = join(bench.folder, 'mend.csv');
    expect(await writeRejects(bench.db, mend)).toMatchObject([{ row_count: 2, map: 'map.yaml' }]);
    const written = readFileSync(mend, 'utf8');
    expect(written).toBe(`\ufeff${title}${header}${faulty}`);
    const reasons = readFileSync(join(bench.folder, 'mend.reasons.csv'), 'utf8').split('\n');
    expect(reasons.map((line) => line.split(',', 2).join())).toEqual([
        'line,column',
        '"3","Sturz VR"',
        '"4","Sturz VL"',
        '"4","Sturz VR"',
        '',
    ]);
    const mended = written.replace("-1°30'", '-1,25').replace('x;y', '-2;-2,5');
    const again = await bench.load('mend.csv', mended, { map: wide });
    expect(again.rows[0]).toMatchObject({
        read_count: 4,
        loaded_count: 3,
        duplicate_count: 1,
        rejected_count: 0,
    });
    expect(await listRejects(bench.db)).toEqual([]);
});

test('the bytes of a row set aside can be got back', async () => {
    const row = latin1('Käfer;32.5.2026;1;-1,5;;naß');
    await bench.load('a.csv', Buffer.concat([latin1(title + header), row]), { map: wide });
    const [found] = await bench.db.cells('select text, hex(bytes) as hex from rejects');
    expect(found).toEqual({ text: 'Käfer;32.5.2026;1;-1,5;;naß', hex: row.toString('hex').toUpperCase() });
});

test('rows made of one line are told apart: duplicates, conflicts and --replace', async () => {
    const file = (left: string, right: string) => latin1(`${title}${header}K;1.5.2026;1;${left};${right};\n`);
    await bench.load('a.csv', file('-1', '-2'), { map: wide });
    const other = await bench.load('b.csv', file('-1', '-3'), { map: wide });
    expect(other.rows[0]).toMatchObject({ loaded_count: 0, duplicate_count: 1, rejected_count: 1 });
    expect(await listRejects(bench.db)).toMatchObject([
        { line: 3, column: 'camber_deg', text: 'K;1.5.2026;1;-1;-3;' },
    ]);
    const replaced = await bench.load('b.csv', file('-1', '-3'), { map: wide, replace: true });
    expect(replaced.rows[0]).toMatchObject({ loaded_count: 1, duplicate_count: 1, replaced_count: 1 });
    expect(await readings()).toMatchObject([
        { corner: 'FL', camber_deg: -1 },
        { corner: 'FR', camber_deg: -3 },
    ]);
    expect(await bench.db.cells('select corner, camber_deg from readings_history')).toEqual([
        { corner: 'FR', camber_deg: -2 },
    ]);
});

test('the same bytes with the same map change nothing; with another map they are read anew', async () => {
    const file = latin1(`${title}${header}K;1.5.2026;1;-1;-2;\n`);
    const first = await bench.load('a.csv', file, { map: wide });
    const again = await bench.load('a.csv', file, { map: wide });
    expect(again.rows[0]).toEqual({ ...first.rows[0], loaded_count: 0, duplicate_count: 2 });
    expect(await bench.db.cells('select count(*) as count from loads')).toEqual([{ count: 1 }]);
    const flipped = mapOf(
        wide.text.replace(
            'camber_deg: Sturz {corner}',
            'camber_deg: { column: "Sturz {corner}", flip: true }',
        ),
    );
    const other = await bench.load('a.csv', file, { map: flipped });
    expect(other.rows[0]).toMatchObject({ loaded_count: 0, rejected_count: 2 });
});

test('values, names and patterns of a map are data, never SQL or keys of objects', async () => {
    const evil = "x'); drop table readings; --";
    const map = mapOf(`
columns:
  vehicle: { constant: ${JSON.stringify(evil)} }
  chassis: { column: a, words: { ${JSON.stringify(evil)}: "c''1" } }
  corner: { column: constructor, words: { toString: FL } }
  measured_at: date
  visit: { text: "{a} '" }
  visit_kind: { constant: check }
  phase: { constant: before }
  camber_deg: camber
ignore: ["'; drop table readings"]
`);
    const file = `a,constructor,date,camber,'; drop table readings\n"${evil}",toString,2026-05-01,-1,\n"${evil}",constructor,2026-05-01,-1,\n`;
    const { rows, refused } = await bench.load(`${"it's"}.csv`, file, { map });
    expect(refused).toEqual([]);
    expect(rows[0]).toMatchObject({ loaded_count: 1, rejected_count: 1 });
    expect(await bench.db.cells('select vehicle, chassis, corner, visit from readings')).toEqual([
        { vehicle: evil, chassis: "c''1", corner: 'FL', visit: `${evil} '` },
    ]);
});

test('a map may make another kind of file', async () => {
    const map = mapOf(`
kind: sessions
delimiter: tab
decimal: ","
columns:
  session: Turn
  vehicle: Wagen
  started_at: { column: Beginn, date: day-first, zone: Z }
  surface: { column: Belag, words: { Asphalt: track, "": road } }
  laps: Runden
  distance_km: km
`);
    const file =
        'Turn\tWagen\tBeginn\tBelag\tRunden\tkm\nT1\tK\t1.5.2026 9:05\tasphalt\t12\t48,5\nT2\tK\t\t\t1,5\t\n';
    const { rows } = await bench.load('a.csv', file, { map });
    expect(rows[0]).toMatchObject({ kind: 'sessions', loaded_count: 1, rejected_count: 1 });
    expect(await bench.db.cells('select * exclude (source_file, load_id) from sessions')).toEqual([
        {
            session: 'T1',
            vehicle: 'K',
            started_at: '2026-05-01T09:05Z',
            surface: 'track',
            laps: 12,
            distance_km: 48.5,
            hits: null,
            air_c: null,
            note: null,
            source_line: 2,
        },
    ]);
    expect((await listRejects(bench.db))[0]).toMatchObject({
        line: 3,
        column: 'Runden',
        reason: '"1,5", read as laps 1.5, is not a whole number',
    });
});

test('a byte order mark wins over the encoding of the map', async () => {
    const body = `${title}${header}Käfer;1.5.2026;1;-1;;naß\n`;
    const utf16 = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(body, 'utf16le')]);
    await bench.load('a.csv', utf16, { map: wide });
    await bench.load('b.csv', `\ufeff${body.replace(';1;', ';2;')}`, { map: wide });
    await bench.load('c.csv', latin1(body.replace(';1;', ';3;')), { map: wide });
    expect((await readings()).map(({ note }) => note)).toEqual(['naß', 'naß', 'naß']);
    const plain = mapOf(wide.text.replace('windows-1252', 'utf-16le'));
    const { rows } = await bench.load('d.csv', Buffer.from(body.replace(';1;', ';4;'), 'utf16le'), {
        map: plain,
    });
    expect(rows[0]).toMatchObject({ loaded_count: 1 });
});

test('an older encoding that the map does not name costs its rows, and the header says so', async () => {
    const utf8 = mapOf(wide.text.replace('windows-1252', 'utf-8'));
    const { rows } = await bench.load('a.csv', latin1(`Test\n${header}Käfer;1.5.2026;1;-1;;\n`), {
        map: utf8,
    });
    expect(rows[0]).toMatchObject({ read_count: 1, rejected_count: 1 });
    expect((await listRejects(bench.db))[0]!.reason).toContain('not utf-8: name the encoding in the map');
    const { refused } = await bench.load('b.csv', latin1(`Test\n${header.replace('Notiz', 'Prüfer')}`), {
        map: utf8,
    });
    expect(refused[0]!.reason).toContain('Check delimiter, quote, encoding and skip_lines');
    const short = await bench.load('c.csv', latin1('Test\n'), { map: utf8 });
    expect(short.refused[0]!.reason).toContain('no header row');
});

test('a map written by draftMap is never written over', async () => {
    const { draftMap } = await import('../../src/load/map/draftMap.js');
    const file = join(bench.folder, 'a.csv');
    const to = join(bench.folder, 'map.yaml');
    writeFileSync(file, latin1(`${title}${header}K;1.5.2026;1;-1,25;-2;\n`));
    const { map, map_file } = draftMap(file, to);
    expect(map_file).toBe(to);
    expect(readFileSync(to, 'utf8')).toBe(map);
    expect(() => draftMap(file, to)).toThrow('exists already');
});
