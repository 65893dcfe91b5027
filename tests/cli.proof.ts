import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { designs } from '../fixtures/physics/chassis.js';
import { kitColumns, readingColumns } from '../fixtures/physics/columns.js';
import { toCsv } from '../fixtures/physics/csv.js';
import { simulateFleet } from '../fixtures/physics/fleet.js';
import { slopesResult } from '../src/contracts/results/slopes.js';
import { Database } from '../src/db/database.js';
import { unpack } from './support/packed.js';

// The packed program, unpacked outside the checkout, on files that it has never seen.
const folder = mkdtempSync(join(tmpdir(), 'packed-'));
let program: string;

function strutmark(...words: string[]) {
    const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...words], {
        cwd: folder,
        encoding: 'utf8',
        env: { ...process.env, NO_COLOR: '1' },
    });
    return { status, stdout, stderr };
}

beforeAll(() => {
    program = unpack(folder);
    const fleet = simulateFleet({ seed: 77, designs: designs.slice(0, 2), vehicles: 6, visits: 2 });
    writeFileSync(join(folder, 'kits.csv'), toCsv(kitColumns, fleet.kits));
    writeFileSync(join(folder, 'readings.csv'), toCsv(readingColumns, fleet.readings));
});
afterAll(() => rmSync(folder, { recursive: true }));

test('load, slopes and the page, as a newcomer would', () => {
    const loaded = strutmark('load', '--quiet', 'kits.csv', 'readings.csv');
    expect(loaded).toMatchObject({ status: 0, stderr: '' });
    const again = JSON.parse(strutmark('load', 'readings.csv', '--json').stdout);
    expect(again.rows[0]).toMatchObject({ loaded_count: 0, rejected_count: 0 });
    expect(again.rows[0].duplicate_count).toBe(again.rows[0].read_count);
    const asked = strutmark('slopes', '--json');
    expect(asked).toMatchObject({ status: 0, stderr: '' });
    const answer = slopesResult.parse(JSON.parse(asked.stdout));
    const camber = answer.rows.filter((row) => row.response === 'camber_deg' && row.axis === 'out');
    expect(camber.map((row) => row.chassis)).toEqual(
        designs
            .slice(0, 2)
            .map((design) => design.chassis)
            .sort(),
    );
    for (const row of camber) expect(row.conf_low_deg_per_mm!).toBeLessThan(row.estimate_deg_per_mm!);
    expect(strutmark('report', 'slopes', '--out', 'pages').status).toBe(0);
    expect(readFileSync(join(folder, 'pages', 'slopes.html'), 'utf8')).toContain(designs[0]!.chassis);
});

test('exit status and the words that go with it', () => {
    expect(strutmark('--help')).toMatchObject({ status: 0, stderr: '' });
    for (const [words, status, said] of [
        [['slops'], 2, 'Did you mean slopes'],
        [['slopes', '--nonsense'], 2, "unknown option '--nonsense'"],
        [['export', 'slopes', '--to', 'a.xls'], 2, '.csv, .parquet, .arrow, .json'],
        [['report', 'nothing', '--out', 'pages'], 2, 'slopes'],
        [['slopes', '--db', 'nowhere.duckdb'], 1, 'Load readings first'],
        [['slopes', '--chassis', 'nothing'], 1, 'known: '],
        [['load', 'nowhere.csv'], 1, 'nowhere.csv'],
        [['slopes', '--db', 'kits.csv'], 1, 'cannot be opened'],
    ] as const) {
        const { status: found, stderr, stdout } = strutmark(...words);
        expect({ words, status: found, stdout }).toEqual({ words, status, stdout: '' });
        expect(stderr).toContain(said);
    }
});

test('the database held by another process: who, and what to do', async () => {
    const db = await Database.open({ file: join(folder, 'strutmark.duckdb'), mode: 'write' });
    const held = strutmark('slopes');
    db.close();
    expect(held.status).toBe(1);
    expect(held.stderr).toMatch(/in use by another process \(PID \d+\)/);
});
