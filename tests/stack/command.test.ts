import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { stackResult } from '../../src/contracts/results/stack.js';
import { shortCaution } from '../../src/report/cautions.js';
import { inProcess } from '../support/inProcess.js';

const folder = mkdtempSync(join(tmpdir(), 'strutmark-stack-'));
const database = join(folder, 'box.duckdb');
let out = '';
let err = '';

/** Runs the program; what it writes is in `out` and `err`. */
async function run(...words: string[]): Promise<number> {
    const said = await inProcess('--db', database, ...words);
    ({ out, err } = said);
    return said.status;
}

beforeAll(async () => {
    writeFileSync(
        join(folder, 'shafts.csv'),
        'shaft,seat_diameter_mm,shoulder_length_mm,thread_length_mm\nfront,14,38,22\nrally,16,44,24\n',
    );
    writeFileSync(
        join(folder, 'hardware.csv'),
        [
            'kit,part,role,fits_diameter_mm,height_mm,height_tol_mm,drop_mm,count,required',
            'P,plate,spring_plate,14,5,,,1,no',
            'P,ring,spacer,14,3,,,2,no',
            'P,low,lower_adapter,14,9,,,1,yes',
            'P,mount,bearing,,14,,6,1,yes',
            'P,top,upper_adapter,14,6,,,1,yes',
            'P,nut,nut,14,11,,,1,no',
            '',
        ].join('\n'),
    );
    expect(await run('load', join(folder, 'shafts.csv'), join(folder, 'hardware.csv'))).toBe(0);
});
afterAll(() => rmSync(folder, { recursive: true }));

test('shafts and a box are enough: no readings are needed', async () => {
    expect(await run('stack', '--kit', 'P', '--shaft', 'front', '--json')).toBe(0);
    const { rows, notes } = stackResult.parse(JSON.parse(out));
    expect(rows[0]).toMatchObject({
        rank: 1,
        parts: ['plate', 'ring', 'ring', 'low', 'mount', 'top', 'nut'],
        clamped_length_mm: 40,
        shoulder_margin_mm: 2,
        thread_engaged_mm: 11,
        clearance_mm: 9,
        sound: true,
        missing: null,
    });
    expect(notes.join(' ')).toContain(shortCaution);
    expect(err).toBe('');
});

test('people get a table and sentences', async () => {
    expect(await run('stack', '--kit', 'P', '--shaft', 'front', '--limit', '2')).toBe(0);
    const [head, first, second] = out.split('\n');
    expect(head).toMatch(/^rank\s+sound\s+clamped mm\s+over shoulder/);
    expect(first).toContain('plate, 2 x ring, low, mount, top, nut');
    expect(second).toContain('a spacer of ');
    expect(out).toContain('The box P makes a sound dry stack on front');
    expect(await run('stack', '--kit', 'P')).toBe(0);
    expect(out).toContain('The box P serves 1 of 2 shafts: front.');
    expect(out).toContain('a lower adapter for a 16 mm shaft in place of low');
});

test('rules are listed by --help, changed with --set, and refused where they are none', async () => {
    expect(await run('stack', '--help')).toBe(0);
    expect(out).toContain('min_margin_mm (mm): ');
    expect(
        await run('stack', '--kit', 'P', '--shaft', 'front', '--set', 'min_clearance_mm=9', '--json'),
    ).toBe(0);
    expect(stackResult.parse(JSON.parse(out)).rows[0]!.sound).toBe(false);
    expect(await run('stack', '--kit', 'P', '--set', 'clearance=9')).toBe(2);
    expect(err).toContain('--set knows no "clearance"');
    expect(await run('stack', '--kit', 'P', '--keep-spring-plate', 'thick')).toBe(2);
    expect(err).toContain('--keep-spring-plate thick');
    expect(await run('stack', '--kit', 'Q')).toBe(1);
    expect(await run('stack')).toBe(2);
});

test('--keep-spring-plate with and without its height', async () => {
    expect(await run('stack', '--kit', 'P', '--shaft', 'front', '--keep-spring-plate', '--json')).toBe(0);
    expect(stackResult.parse(JSON.parse(out)).rows[0]).toMatchObject({
        sound: false,
        clamped_length_mm: 35,
        spring_plate: 'car',
    });
    expect(await run('stack', '--kit', 'P', '--shaft', 'front', '--keep-spring-plate', '5', '--json')).toBe(
        0,
    );
    expect(stackResult.parse(JSON.parse(out)).rows[0]).toMatchObject({
        sound: true,
        clamped_length_mm: 40,
        spring_plate: 'car',
    });
});
