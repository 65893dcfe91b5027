import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { kitColumns, readingColumns } from '../../fixtures/physics/columns.js';
import { toCsv } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { adviseResult } from '../../src/contracts/results/advise.js';
import { clockingResult } from '../../src/contracts/results/clocking.js';
import { oneAim } from '../../src/errors/askMessages.js';
import { nothingAsked, targetCount, unreadableNumber } from '../../src/errors/messages.js';
import { shortCaution } from '../../src/report/cautions.js';
import { inProcess } from '../support/inProcess.js';

const folder = mkdtempSync(join(tmpdir(), 'settings-'));
const database = join(folder, 'a.duckdb');
let out = '';
let err = '';

async function strutmark(...words: string[]): Promise<number> {
    const said = await inProcess('--db', database, ...words);
    ({ out, err } = said);
    return said.status;
}

beforeAll(async () => {
    const fleet = simulateFleet({ seed: 78, designs: designs.slice(0, 1), vehicles: 5, visits: 2 });
    const file = (name: string, text: string) => {
        writeFileSync(join(folder, name), text);
        return join(folder, name);
    };
    const files = [
        file('kits.csv', toCsv(kitColumns, fleet.kits)),
        file('readings.csv', toCsv(readingColumns, fleet.readings)),
        file(
            'targets.csv',
            'target,camber_deg,camber_tol_deg,caster_deg,caster_tol_deg,toe_deg,toe_tol_deg\nstreet,-0.9,0.3,7,1.5,0.05,0.05\ntrack,-1.5,0.3,7,1.5,0,0.05\n',
        ),
    ];
    expect(await strutmark('--quiet', 'load', '--later', ...files)).toBe(0);
});
afterAll(() => rmSync(folder, { recursive: true }));

const chassis = designs[0]!.chassis;
const vehicle = `${chassis}-1`;

test('advise: JSON as published, and for people a table, what to do and the caution', async () => {
    const words = [
        'advise',
        '--vehicle',
        vehicle,
        '--target',
        'street',
        '--target',
        'track',
        '--toe-diameter',
        '600',
    ];
    expect(await strutmark(...words, '--json')).toBe(0);
    const { rows, notes } = adviseResult.parse(JSON.parse(out));
    expect(rows.map((row) => `${row.target} ${row.corner}`)).toEqual([
        'street FL',
        'street FR',
        'track FL',
        'track FR',
    ]);
    for (const row of rows) expect(notes.join(' ')).toContain(row.words);
    expect(err).toBe('');
    expect(await strutmark(...words)).toBe(0);
    for (const text of ['target  corner  plate', rows[0]!.words, shortCaution, 'cautions'])
        expect(out).toContain(text);
});

test('advise: mistakes of the user end with 1, mistakes of the command line with 2', async () => {
    expect(await strutmark('advise', '--vehicle', 'nobody', '--target', 'street')).toBe(1);
    expect(err).toContain('There is no vehicle "nobody"');
    const usage: [string[], string][] = [
        [['--vehicle', vehicle], oneAim()],
        [['--vehicle', vehicle, '--target', 'street', '--target', 'street'], targetCount('advise')],
        [
            ['--target', 'street'],
            nothingAsked('advise', '--vehicle NAME, or --from CORNER=CAMBER,CASTER --kit NAME'),
        ],
        [
            ['--vehicle', vehicle, '--target', 'street', '--step', '0'],
            unreadableNumber('--step', '0', 'a number from 0.1 to 10'),
        ],
        [
            ['--vehicle', vehicle, '--target', 'street', '--index', '1.5'],
            unreadableNumber('--index', '1.5', 'a whole number from 1 to 12'),
        ],
    ];
    for (const [words, message] of usage) {
        expect(await strutmark('advise', ...words), words.join(' ')).toBe(2);
        expect(err).toContain(message);
    }
});

test('clocking: JSON has every way, the table the best; report takes the same choice', async () => {
    const words = ['clocking', '--chassis', chassis, '--kit', 'AMBER-3', '--target', 'street'];
    expect(await strutmark(...words, '--json')).toBe(0);
    const { rows } = clockingResult.parse(JSON.parse(out));
    expect(Math.max(...rows.map((row) => row.rank))).toBe(18);
    expect(await strutmark(...words)).toBe(0);
    expect(out).toContain('The best ways are shown; --json gives all.');
    expect(out.split('\n').filter((line) => /^ +\d+ +street/.test(line))).toHaveLength(8);
    expect(await strutmark('clocking', '--kit', 'AMBER-3', '--target', 'street')).toBe(2);
    const pages = ['report', 'card', 'clocking', '--out', join(folder, 'pages'), '--target', 'track'];
    expect(await strutmark(...pages, '--vehicle', vehicle, '--json')).toBe(0);
    expect(JSON.parse(out).rows.map((row: { name: string }) => row.name)).toEqual(['card', 'clocking']);
    expect(await strutmark(...pages, '--vehicle', 'nobody')).toBe(1);
});
