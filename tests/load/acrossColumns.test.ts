import { afterAll, beforeAll, expect, test } from 'vitest';
import { tables } from '../../src/contracts/tables.js';
import { listRejects } from '../../src/load/rejects.js';
import { type LoadBench, loadBench } from '../support/loading.js';
import { keeps } from '../support/rowRules.js';

let bench: LoadBench;
beforeAll(async () => {
    bench = await loadBench();
});
afterAll(() => bench.close());

/** Loads rows of `header` named 1, 2, ... in their first column, and tells of each what it was set aside for, or null. */
async function judged(header: string, rows: readonly string[]): Promise<(string | null)[]> {
    const file = `${header.split(',')[0]}-${rows.length}.csv`;
    await bench.load(file, [header, ...rows.map((row, n) => `${n + 1},${row}`), ''].join('\n'));
    const rejects = (await listRejects(bench.db)).filter((row) => row.file.endsWith(file));
    return rows.map((_, n) => {
        const found = rejects.find(({ line }) => line === n + 2);
        return found === undefined ? null : `${found.column}: ${found.reason}`;
    });
}

test('kits that cannot be are set aside, with the columns and how to mend them', async () => {
    const rows: [string, string | null][] = [
        ['2,-5,5,,,,,', null],
        ['2,,,,,,,', null],
        ['2,0,0,0,0,,,', null],
        ['2,-5,5,-3,3,3,120,0.5', null],
        ['8,-5,5,0,,4,90,', null],
        ['2,,,,,3,-120,', null],
        ['2,,,,,3,240,', null],
        ['2,,,,,2,,', null],
        ['2,,,,,1,0,', null],
        ['2,5,-5,,,,,', 'mark_min: 5 is above mark_max -5: exchange the two'],
        ['2,,,3,-3,,,', 'mark2_min: 3 is above mark2_max -3: exchange the two'],
        ['2,,,-3,,,,', 'mark2_min: -3 with mark2_max blank is half a scale'],
        ['2,,,,3,,,', 'mark2_min: blank with mark2_max 3 is half a scale'],
        [
            '50,-30,30,,,,,',
            'mark_max: 30 makes with mark_min -30 and mark_pitch_mm 50 a slot of more than 80 mm',
        ],
        [
            '20,,,-3,3,,,',
            'mark2_max: 3 makes with mark2_min -3 and mark_pitch_mm 20 a slot of more than 80 mm',
        ],
        ['2,,,,,3,0,', 'index_step_deg: 0 with index_count 3 puts two bolt positions in one place'],
        [
            '2,,,,,,360,',
            'index_step_deg: 360 with index_count blank (3) puts two bolt positions in one place',
        ],
        ['2,,,,,4,120,', 'index_step_deg: 120 with index_count 4 puts'],
        ['2,,,,,6,,', 'index_step_deg: blank (120) with index_count 6 puts'],
        ['2,-1,1,,,,,5', 'mark_resolution: 5 is more than the whole scale from mark_min -1 to mark_max 1'],
        ['2,5,-5,,,3,0,', 'mark_min: 5 is above mark_max -5'],
        ['2,5,-5,,,3,0,', '; also index_step_deg 0 with index_count 3'],
    ];
    const header =
        'kit,mark_pitch_mm,mark_min,mark_max,mark2_min,mark2_max,index_count,index_step_deg,mark_resolution';
    const found = await judged(
        header,
        rows.map(([row]) => row),
    );
    for (const [n, [row, says]] of rows.entries()) {
        if (says === null) expect(found[n], row).toBeNull();
        else expect(found[n], row).toContain(says);
    }
});

test('so are targets, sessions, shafts and hardware', async () => {
    expect(
        await judged('target,camber_deg,camber_tol_deg,toe_tol_deg', ['-1,0.1,', ',,0.1', '-1,,']),
    ).toEqual([
        null,
        expect.stringContaining('toe_tol_deg: 0.1 is a tolerance of toe_deg, which is blank'),
        null,
    ]);
    expect(
        await judged('session,vehicle,laps,distance_km', ['V,20,80', 'V,20,0', 'V,20,', 'V,0,0', 'V,,0']),
    ).toEqual([null, expect.stringContaining('distance_km: 0 was driven in 20 laps'), null, null, null]);
    expect(
        await judged(
            'shaft,seat_diameter_mm,shoulder_length_mm,thread_length_mm,thread_pitch_mm,shoulder_tol_mm',
            ['14,30,20,,', '14,0,20,,', '3,30,20,6,', '14,30,1,,', '14,3,20,1.5,5'],
        ),
    ).toEqual([
        null,
        null,
        expect.stringContaining('thread_pitch_mm: 6 does not go on a shaft of seat_diameter_mm 3'),
        expect.stringContaining('thread_length_mm: 1 is less than one turn of thread_pitch_mm blank (1.5)'),
        expect.stringContaining('shoulder_tol_mm: 5 is wider than shoulder_length_mm 3'),
    ]);
    expect(
        await judged('kit,part,role,height_mm,height_tol_mm', [
            'a,nut,8,',
            'b,nut,0,',
            'c,bush,0,',
            'd,bush,1,2',
        ]),
    ).toEqual([
        null,
        expect.stringContaining('height_mm: 0 is no height of a nut'),
        null,
        expect.stringContaining('height_tol_mm: 2 is wider than height_mm 1'),
    ]);
});

test('and so are readings with the angle of a sweep that was none', async () => {
    const header =
        'vehicle,corner,measured_at,visit,visit_kind,phase,chassis,caster_deg,caster_sweep_deg,caster_method';
    const rows = ['4,20,sweep', '4,20,', '4,,direct', '4,20,direct'];
    expect(
        await judged(
            header,
            rows.map((row) => `FL,2026-01-05,v,check,before,OTTER,${row}`),
        ),
    ).toEqual([
        null,
        null,
        null,
        expect.stringContaining('caster_sweep_deg: 20 is the angle of a sweep, but caster_method is direct'),
    ]);
});

test('every rule names columns of its kind, in its words, its SQL and its reason', () => {
    for (const { kind, columns, rules } of tables) {
        const known = columns.map(({ name }) => name);
        for (const rule of rules) {
            expect(known, kind).toEqual(expect.arrayContaining([...rule.columns]));
            for (const text of [rule.sql, rule.reason]) {
                const named = [...text.matchAll(/\{(\w+)\}/g)].map(([, column]) => column);
                expect(rule.columns, text).toEqual(expect.arrayContaining(named));
            }
            expect(keeps(rule, Object.fromEntries(known.map((name) => [name, null]))), rule.rule).toBe(true);
        }
    }
});
