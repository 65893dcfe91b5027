import { writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { ForgottenRow } from '../../src/contracts/results/forget.js';
import { tables } from '../../src/contracts/tables.js';
import { identifier } from '../../src/db/database.js';
import { forget, unforget } from '../../src/load/forget/forget.js';
import type { Question } from '../../src/load/forget/targets.js';
import { listVoidings } from '../../src/load/forget/voidings.js';
import { contentHash, keyCells, keyHash } from '../../src/load/keySql.js';
import type { LoadOptions } from '../../src/load/loadFiles.js';
import { type LoadBench, loadBench, loadInto } from '../support/loading.js';
import { generator } from '../support/mutations.js';

let bench: LoadBench;
beforeEach(async () => {
    bench = await loadBench();
});
afterEach(() => bench.close());

const reason = { by: 'Kim', because: 'a test' };
const header = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg,note';
const reading = (car: string, camber = -1.5, note = '') =>
    `${car},OTTER,FL,2025-01-01,v1,check,before,${camber},${note}`;
const text = (...rows: string[]) => `${[header, ...rows].join('\n')}\n`;

const at = (name: string) => join(bench.folder, name);
const load = (name: string, rows: readonly string[], options?: LoadOptions) =>
    bench.load(name, text(...rows), options);
const asked = (...targets: string[]): Question => ({ targets: targets.map(at), where: [] });
const cars = async () =>
    (
        await bench.db.cells('select vehicle || cast(camber_deg as varchar) as car from readings order by 1')
    ).map(({ car }) => car);
const states = (rows: readonly ForgottenRow[]) => rows.map(({ line, status }) => [line, status] as const);

/** Everything of the input tables and the books, so that nothing changed is seen as such. */
async function everything(kinds = tables) {
    const names = kinds.flatMap(({ kind }) => [kind, `${kind}_history`, `${kind}_voided`]);
    const all: Record<string, unknown> = {};
    for (const name of [...names, 'voidings', 'loads', 'rejects']) {
        all[name] = await bench.db.cells(`select columns(*)::varchar from ${identifier(name)} order by all`);
    }
    return all;
}

test('rows are named by file, file and lines, load, or what they hold; all else stays', async () => {
    await load(
        'a.csv',
        ['A', 'B', 'C', 'D', 'E'].map((car) => reading(car)),
    );
    await load('b.csv', [reading('F'), reading('G', -2)]);
    const rows = (question: Question) =>
        forget(bench.db, question, reason, true).then((answer) => answer.rows.map(({ line }) => line));
    expect(await rows(asked('a.csv'))).toEqual([2, 3, 4, 5, 6]);
    expect(await rows(asked('a.csv:3', 'a.csv:5-9'))).toEqual([3, 5, 6]);
    expect(await rows(asked('a.csv line 3'))).toEqual([3]);
    expect(await rows({ targets: ['1:4'], where: [] })).toEqual([4]);
    expect(await rows({ targets: ['2'], where: [] })).toEqual([2, 3]);
    expect(await rows({ targets: ['b.csv:3'], where: [] })).toEqual([3]);
    expect(await rows({ targets: [], where: ['camber_deg=-1.50', 'phase=before'] })).toHaveLength(6);
    expect(await rows({ targets: [at('b.csv')], where: ['camber_deg=-1.5'] })).toEqual([2]);
    expect(await rows({ targets: [], where: ['repeat=1', 'note=', 'vehicle=A'] })).toEqual([2]);
    for (const [question, says] of [
        [asked('c.csv'), /No file .*c\.csv.* was loaded.*1: .*a\.csv, readings.*5 rows/s],
        [asked('a.csv:1'), /No stored row comes from/],
        [{ targets: [], where: ['vehicle=Z'] }, /No stored row of readings fits vehicle=Z/],
        [{ targets: [], where: ['vehicle=Z'], kind: 'cars' }, /takes one of: readings, kits/],
        [{ targets: [], where: ['colour=red'] }, /Columns: vehicle, chassis/],
        [{ targets: [], where: ['camber_deg=steep'] }, /compares a number/],
    ] as const) {
        const before = await everything();
        await expect(forget(bench.db, question, reason)).rejects.toThrow(says);
        expect(await everything()).toEqual(before);
    }
});

test('voided rows stay readable with who, when and why, and come back as they were', async () => {
    await load('a.csv', [reading('A'), reading('B', 99), reading('C')]);
    const before = await everything();
    expect((await forget(bench.db, asked('a.csv'), reason, true)).rows).toHaveLength(2);
    expect(await everything()).toEqual(before);
    const { rows, notes } = await forget(bench.db, asked('a.csv'), reason);
    expect(states(rows)).toEqual([
        [2, 'voided'],
        [4, 'voided'],
    ]);
    expect(notes.join(' ')).toMatch(/2 rows voided.*--bring-back 1.*1 row of the file waits to be mended/);
    expect(await cars()).toEqual([]);
    expect(await bench.db.cells('select vehicle, voiding_id from readings_voided')).toEqual([
        { vehicle: 'A', voiding_id: 1 },
        { vehicle: 'C', voiding_id: 1 },
    ]);
    expect(await listVoidings(bench.db)).toMatchObject([
        { asked: at('a.csv'), voided_by: 'Kim', because: 'a test', row_count: 2, brought_back_count: 0 },
    ]);
    await expect(forget(bench.db, asked('a.csv:2'), reason)).rejects.toThrow('--bring-back 1 brings it back');
    await expect(forget(bench.db, asked('a.csv:3'), reason)).rejects.toThrow('load set it aside');
    await expect(unforget(bench.db, [2], 'Kim')).rejects.toThrow('There is no voiding 2');
    expect(states((await unforget(bench.db, [1], 'Kim')).rows)).toEqual([
        [2, 'brought back'],
        [4, 'brought back'],
    ]);
    const { readings, rejects, loads } = await everything();
    expect({ readings, rejects, loads }).toEqual({
        readings: before.readings,
        rejects: before.rejects,
        loads: before.loads,
    });
    expect(await listVoidings(bench.db)).toMatchObject([{ row_count: 2, brought_back_count: 2 }]);
    await expect(unforget(bench.db, [1], 'Kim')).rejects.toThrow('brought back before');
});

test('a row that was voided by itself stays away whichever file brings it; a whole file only itself', async () => {
    await load('a.csv', [reading('A'), reading('B')]);
    await forget(bench.db, asked('a.csv:3'), reason);
    const again = await load('a.csv', [reading('A'), reading('B')]);
    expect(again.rows).toMatchObject([{ loaded_count: 0, duplicate_count: 2, voided_count: 1 }]);
    expect(again.notes).toEqual([
        expect.stringMatching(/1 row is voided \(by Kim: a test\).*--bring-back 1/),
    ]);
    expect((await load('b.csv', [reading('B'), reading('C')])).rows).toMatchObject([
        { loaded_count: 1, voided_count: 1 },
    ]);
    // Mended, it is another row.
    await load('c.csv', [reading('B', -2)]);
    expect(await cars()).toEqual(['A-1.5', 'B-2.0', 'C-1.5']);

    await forget(bench.db, asked('b.csv'), reason);
    expect((await load('b.csv', [reading('B'), reading('C')])).rows).toMatchObject([
        { loaded_count: 0, voided_count: 2 },
    ]);
    expect((await load('d.csv', [reading('C'), reading('D')])).rows).toMatchObject([{ loaded_count: 2 }]);
    expect(await cars()).toEqual(['A-1.5', 'B-2.0', 'C-1.5', 'D-1.5']);
});

test('a key that another row has by now is left to it, and both stay', async () => {
    await load('a.csv', [reading('A'), reading('B')]);
    await forget(bench.db, asked('a.csv'), reason);
    await load('b.csv', [reading('A', -2)]);
    const { rows, notes } = await unforget(bench.db, [1], 'Kim');
    expect(rows).toMatchObject([
        {
            key: 'vehicle=A,corner=FL,visit=v1,phase=before,repeat=1',
            status: 'key taken',
            taken_by: `${at('b.csv')}:2`,
        },
        { status: 'brought back' },
    ]);
    expect(notes.join(' ')).toMatch(/1 row brought back.*1 row stays voided/);
    expect(await cars()).toEqual(['A-2.0', 'B-1.5']);
    await forget(bench.db, asked('b.csv'), reason);
    expect(states((await unforget(bench.db, [1], 'Kim')).rows)).toEqual([[2, 'brought back']]);
    expect(await cars()).toEqual(['A-1.5', 'B-1.5']);
});

test('files of every kind; two weeks under one name are not one file', async () => {
    const files: [string, string][] = [
        ['readings', text(reading('A'))],
        ['kits', 'kit,chassis,mark_pitch_mm\nK,,2\nK,OTTER,3\n'],
        ['targets', 'target,camber_deg,camber_tol_deg\nstreet,-1,0.2\n'],
        ['sessions', 'session,vehicle\ns1,A\n'],
        ['shafts', 'shaft,seat_diameter_mm,shoulder_length_mm,thread_length_mm\nS,14,40,20\n'],
        ['hardware', 'kit,part,role,height_mm\nK,washer,spacer,3\n'],
    ];
    for (const [kind, content] of files) await bench.load(`${kind}.csv`, content);
    const before = await everything();
    for (const [kind] of files) await forget(bench.db, asked(`${kind}.csv`), reason);
    for (const [kind] of files) expect(await bench.db.cells(`from ${identifier(kind)}`)).toEqual([]);
    await unforget(bench.db, [1, 2, 3, 4, 5, 6], 'Kim');
    const after = await everything();
    for (const [kind] of files) expect(after[kind]).toEqual(before[kind]);

    await load('readings.csv', [reading('B')], { replace: true });
    expect(await cars()).toEqual(['A-1.5', 'B-1.5']);
    await expect(forget(bench.db, asked('readings.csv'), reason)).rejects.toThrow(
        /several loads.*such as 1:.*1: .*1 row\n {4}7: .*1 row/s,
    );
    await expect(forget(bench.db, asked('readings.csv:2'), reason)).rejects.toThrow('such as 1:2:');
    await forget(bench.db, { targets: ['7'], where: [] }, reason);
    expect(await cars()).toEqual(['A-1.5']);
});

test('small files that are taken together leave out what is voided', async () => {
    await load('a.csv', [reading('A'), reading('B')]);
    await forget(bench.db, asked('a.csv:2'), reason);
    const names = ['c.csv', 'd.csv', 'e.csv'];
    for (const [i, name] of names.entries()) {
        writeFileSync(at(name), text(reading(`${i}`), ...(i === 1 ? [reading('A')] : [])));
    }
    const { rows } = await loadInto(bench.db, join(bench.folder, '..'), names.map(at));
    expect(rows.map(({ voided_count }) => voided_count)).toEqual([undefined, 1, undefined]);
    expect(await cars()).toEqual(['0-1.5', '1-1.5', '2-1.5', 'B-1.5']);
});

test('instead of an earlier load: rows replaced by key, those no longer held voided, other loads untouched', async () => {
    await load('other.csv', [reading('X'), reading('Y')]);
    await load('week.csv', [reading('A'), reading('B'), reading('C'), reading('X'), reading('C', 99)]);
    const mended = [reading('A'), reading('B', -2), reading('D'), reading('X')];
    const before = await everything();
    const stand = { insteadOf: { load: at('week.csv'), ...reason } };
    const dry = await load('mended.csv', mended, { ...stand, dryRun: true });
    expect(await everything()).toEqual(before);
    const { rows, gone, notes, refused } = await load('mended.csv', mended, stand);
    expect(refused).toEqual([]);
    expect([rows, gone]).toEqual([dry.rows, dry.gone]);
    expect(rows).toMatchObject([
        { loaded_count: 3, duplicate_count: 1, replaced_count: 2, unchanged_count: 1, gone_count: 1 },
    ]);
    expect(gone).toMatchObject([{ file: at('week.csv'), line: 4, status: 'voided', voiding_id: 1 }]);
    expect(notes.join(' ')).toMatch(
        /1 row as before, 1 changed, 1 new, 1 no longer held.*held 1 row besides/,
    );
    expect(await cars()).toEqual(['A-1.5', 'B-2.0', 'D-1.5', 'X-1.5', 'Y-1.5']);
    // The row that was set aside is answered by the new file.
    expect(await bench.db.cells('select cleared_by from rejects')).toEqual([{ cleared_by: 3 }]);
    // All of it is the new file's now: what the next one no longer holds goes too.
    await load('again.csv', [reading('B', -2)], { insteadOf: { load: at('mended.csv'), ...reason } });
    expect(await cars()).toEqual(['B-2.0', 'X-1.5', 'Y-1.5']);
    await unforget(bench.db, [1, 2], 'Kim');
    expect(await cars()).toEqual(['A-1.5', 'B-2.0', 'C-1.5', 'D-1.5', 'X-1.5', 'Y-1.5']);
});

test('instead of an earlier load: refused, with nothing changed, where a row would look gone that is not', async () => {
    await load('other.csv', [reading('X')]);
    await load('week.csv', [reading('A'), reading('B')]);
    await bench.load('kits.csv', 'kit,mark_pitch_mm\nK,2\n');
    const before = await everything();
    for (const [rows, named, says] of [
        [[reading('A'), reading('B', 99)], 'week.csv', /1 row that would be set aside.*line 3: camber_deg/s],
        [[reading('A'), reading('X', -3)], 'week.csv', /with other content is replaced with --replace/],
        [[reading('A')], 'kits.csv', /holds readings and .* held kits/],
        [[reading('A')], 'none.csv', /No file/],
    ] as const) {
        const report = await load('new.csv', rows, { insteadOf: { load: at(named), ...reason } });
        expect(report.refused).toMatchObject([{ reason: expect.stringMatching(says) }]);
        expect([report.rows, report.gone]).toEqual([[], []]);
        expect(await everything()).toEqual(before);
    }
});

test('a replacing file keeps what it has no column for, and says so', async () => {
    await load('a.csv', [reading('A', -1, 'rolled'), reading('B', -1, 'rolled')]);
    const short = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,toe_deg\n';
    const row = (car: string, toe: string) => `${car},OTTER,FL,2025-01-01,v1,check,before,${toe}\n`;
    const { rows, notes } = await bench.load('toe.csv', short + row('A', '0.1') + row('C', '0.1'), {
        replace: true,
    });
    expect(rows).toMatchObject([
        { loaded_count: 2, replaced_count: 1, kept_columns: ['camber_deg', 'note'] },
    ]);
    expect(notes).toEqual([expect.stringMatching(/no column camber_deg, note: the replaced rows keep/)]);
    expect(
        await bench.db.cells('select vehicle, camber_deg, toe_deg, note from readings order by 1'),
    ).toEqual([
        { vehicle: 'A', camber_deg: -1, toe_deg: 0.1, note: 'rolled' },
        { vehicle: 'B', camber_deg: -1, toe_deg: null, note: 'rolled' },
        { vehicle: 'C', camber_deg: null, toe_deg: 0.1, note: null },
    ]);
    // A blank cell is said; a file that says nothing new is a duplicate.
    await load('b.csv', [reading('B', -2)], { replace: true });
    expect(await bench.db.cells("select note from readings where vehicle = 'B'")).toEqual([{ note: null }]);
    const same = await bench.load('same.csv', short + row('A', '0.1'), { replace: true });
    expect(same.rows).toMatchObject([{ loaded_count: 0, duplicate_count: 1 }]);
});

test('a kit that says something else tells how many readings change meaning', async () => {
    const columns =
        'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,kit,mark_1,offset_out_mm,offset_aft_mm,camber_deg\n';
    const row = (car: string, chassis: string, rest: string) =>
        `${car},${chassis},FL,2025-01-01,v1,check,before,${rest},-1\n`;
    await bench.load('kits.csv', 'kit,chassis,mark_pitch_mm,note\nK,,2,x\nL,,2,\n');
    await bench.load(
        'readings.csv',
        columns +
            row('A', 'OTTER', 'K,1,,') +
            row('B', 'NEWT', 'K,2,,') +
            row('C', 'NEWT', 'K,2,3,0') +
            row('D', 'NEWT', 'L,2,,'),
    );
    const notes = async (name: string, content: string, replace = true) =>
        (await bench.load(name, content, { replace, dryRun: name === 'dry.csv' })).notes;
    const head = 'kit,chassis,mark_pitch_mm,index_count,note\n';
    expect(await notes('dry.csv', `${head}K,,2.5,3,y\n`)).toEqual([
        expect.stringMatching(/"K" has another mark_pitch_mm: the marks of 2 stored/),
    ]);
    expect(await notes('same.csv', `${head}K,,2,3,y\n`)).toEqual([]);
    expect(await notes('own.csv', `${head}K,OTTER,3,1,\n`, false)).toEqual([
        expect.stringMatching(/"K" has another index_count, mark_pitch_mm: the marks of 1 stored reading /),
    ]);
    const { notes: gone } = await forget(bench.db, { targets: [], where: ['kit=L'], kind: 'kits' }, reason);
    expect(gone.join(' ')).toMatch(/"L" is not known any more: the marks of 1 stored reading /);
    expect((await unforget(bench.db, [1], 'Kim')).notes).toHaveLength(1);
});

test('a file that is named twice is looked at once; the same rows under two names are set aside once', async () => {
    const names = ['a.csv', 'b.csv'];
    for (const name of names) writeFileSync(at(name), text(reading('A'), reading('B', 99)));
    const all = (...files: string[]) =>
        loadInto(bench.db, join(bench.folder, '..'), files.map(at), { dryRun: true });
    const twice = await all('a.csv', 'a.csv', `${join('..', basename(bench.folder))}/a.csv`);
    expect([twice.rows.length, twice.asideCount, twice.notes.length]).toEqual([1, 1, 2]);
    const copies = await all('a.csv', 'b.csv');
    expect([copies.rows.length, copies.asideCount]).toEqual([2, 1]);
});

test('whatever is done in whatever order, no row is lost, keys are unique, and a dry run changes nothing', async () => {
    const random = generator(20250417);
    const { db } = bench;
    await load('0.csv', [reading('car 0')]);
    const readings = tables[0]!;
    const seen = new Set<string>();
    const hashes = `select (${keyHash(readings)})::varchar || (${contentHash(readings)})::varchar as hash`;
    const hold = async (from: string) =>
        (await db.cells(`${hashes} from ${from}`)).map(({ hash }) => String(hash));
    const outcome = (work: Promise<unknown>) =>
        work.then(
            () => true,
            (error: Error) => error.name,
        );
    const done = { load: 0, forget: 0, back: 0 };
    for (let step = 0; step < 36; step++) {
        const rows = Array.from({ length: 1 + random(4) }, () => reading(`car ${random(6)}`, -1 - random(2)));
        const [loads] = await db.cells('select count(*) as n from loads');
        const id = String(1 + random(Number(loads!.n) + 1));
        const what = random(5);
        const [voidings] = await db.cells('select count(*) as n from voidings');
        const voiding = 1 + random(Number(voidings!.n) + 1);
        const car = random(6);
        const act = (dryRun: boolean): Promise<unknown> => {
            if (what === 0) return load(`${step % 7}.csv`, rows, { dryRun });
            if (what === 1) return load(`${step % 7}.csv`, rows, { dryRun, replace: true });
            if (what === 2)
                return load(`${step % 7}.csv`, rows, { dryRun, insteadOf: { load: id, ...reason } });
            if (what === 3) {
                const question =
                    step % 2 === 0
                        ? { targets: [id], where: [] }
                        : { targets: [], where: [`vehicle=car ${car}`] };
                return forget(db, question, reason, dryRun);
            }
            return unforget(db, [voiding], 'Kim', dryRun);
        };
        if (step % 3 === 0) {
            const before = await everything([readings]);
            expect([true, 'UserError']).toContain(await outcome(act(true)));
            expect(await everything([readings])).toEqual(before);
        }
        const result = await outcome(act(false));
        expect([true, 'UserError']).toContain(result);
        if (result === true) done[what < 3 ? 'load' : what === 3 ? 'forget' : 'back']++;
        const held = await hold('readings');
        const kept = [...held, ...(await hold('readings_history')), ...(await hold('readings_voided'))];
        for (const hash of held) seen.add(hash);
        for (const hash of seen) expect(kept).toContain(hash);
        const twice = await db.cells(
            `select 1 from readings group by ${keyCells(readings).join(', ')} having count(*) > 1`,
        );
        expect(twice).toEqual([]);
        const both = await db.cells(
            'select 1 from readings semi join (from readings_voided where brought_back_at is null) using (load_id, source_line)',
        );
        expect(both).toEqual([]);
    }
    expect(Math.min(...Object.values(done))).toBeGreaterThanOrEqual(3);
});
