import {
    cpSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    rmSync,
    symlinkSync,
    utimesSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { inProcess } from '../support/inProcess.js';

/** `--readings DIR`: Parquet files read where they are give what the same readings give in the database. */

const folder = mkdtempSync(join(tmpdir(), 'strutmark-folder-'));
const months = join(folder, 'months');
const season = join(import.meta.dirname, '../../fixtures/season');
let out = '';
let err = '';

async function run(database: string, ...words: string[]): Promise<number> {
    const said = await inProcess('--db', join(folder, `${database}.duckdb`), ...words);
    ({ out, err } = said);
    return said.status;
}

/** Writes one Parquet file with another program's eyes: a DuckDB of its own. */
async function parquet(file: string, query: string): Promise<void> {
    mkdirSync(join(file, '..'), { recursive: true });
    const instance = await DuckDBInstance.create(':memory:');
    const connection = await instance.connect();
    await connection.run(`copy (${query}) to '${file}' (format parquet)`);
    connection.closeSync();
    instance.closeSync();
}

const reading = `select 'v' as vehicle, 'C' as chassis, 'FL' as corner, '2026-01-05T10:00' as measured_at, 'one' as visit,
    'check' as visit_kind, 'before' as phase, -1.25 as camber_deg`;

beforeAll(async () => {
    const others = ['kits', 'targets', 'sessions'].map((kind) => join(season, `${kind}.csv`));
    const [header, ...lines] = readFileSync(join(season, 'readings.csv'), 'utf8').trimEnd().split('\n');
    const few = lines.filter((line) => /^(car 1|job 1[01]\d),/.test(line));
    writeFileSync(join(folder, 'few.csv'), [header, ...few, ''].join('\n'));
    expect(await run('own', 'load', join(folder, 'few.csv'), ...others, '--quiet', '--later')).toBe(0);
    expect(await run('beside', 'load', ...others, '--quiet', '--later')).toBe(0);
    expect(await run('own', 'export', 'readings', '--by-month', '--to', months)).toBe(0);
});

afterAll(() => rmSync(folder, { recursive: true }));

test('one Parquet file a month, and the same slopes and audit as from the database', async () => {
    expect(readdirSync(months)).toContain('month=2025-02');
    for (const words of [['slopes'], ['audit', '--by', 'technician']]) {
        expect(await run('own', ...words, '--json')).toBe(0);
        const own = JSON.parse(out).rows;
        expect(await run('beside', '--readings', months, ...words, '--json')).toBe(0);
        expect(own.length).toBeGreaterThan(0);
        expect(JSON.parse(out).rows).toEqual(own);
    }
});

test('a reading that is in the folder and in the database is refused', async () => {
    expect(await run('own', '--readings', months, 'slopes')).toBe(1);
    expect(err).toMatch(/there twice .*\n {2}.*month=\d{4}-\d\d\/.*\.parquet row \d+: /);
    expect(err).toContain('take the file out of the folder');
});

test('without the option only the database counts; a database is made where there is none', async () => {
    expect(await run('beside', 'slopes')).toBe(1);
    expect(err).toContain('no readings');
    await parquet(join(folder, 'small', 'a.parquet'), reading);
    expect(
        await run(
            'new',
            '--readings',
            join(folder, 'small'),
            'export',
            'readings',
            '--to',
            join(folder, 'new.csv'),
        ),
    ).toBe(0);
    expect(await run('new', '--readings', join(folder, 'small'), 'slopes')).toBe(0);
    expect(err).toBe('');
});

test('a changed file is read anew', async () => {
    const copy = join(folder, 'copy');
    cpSync(join(folder, 'small'), copy, { recursive: true });
    expect(await run('copy', '--readings', copy, 'slopes', '--json')).toBe(0);
    await parquet(join(copy, 'a.parquet'), reading.replace('-1.25', '-41.25'));
    utimesSync(join(copy, 'a.parquet'), 1, 1);
    expect(await run('copy', '--readings', copy, 'slopes', '--json')).toBe(1);
    expect(err).toContain(`${copy}/a.parquet row 1, camber_deg: `);
});

test('columns of other types and from the path are taken as a CSV cell would be', async () => {
    const typed = join(folder, 'typed');
    await parquet(
        join(typed, 'chassis=C', 'b.parquet'),
        `select 'v' as vehicle, 'FL' as corner, timestamp '2026-01-05 10:00:00' as measured_at, 'one' as visit, 'check' as visit_kind,
            'before' as phase, 2::bigint as repeat, cast(-1.25 as decimal(6, 3)) as camber_deg, ' ' as note`,
    );
    expect(
        await run('typed', '--readings', typed, 'export', 'placements', '--to', join(folder, 'typed.csv')),
    ).toBe(0);
    const instance = await DuckDBInstance.create(':memory:');
    const connection = await instance.connect();
    const reader = await connection.runAndReadAll(
        `select chassis, measured_at, repeat, camber_deg from read_csv('${join(folder, 'typed.csv')}', all_varchar = true)`,
    );
    expect(reader.getRowsJson()).toEqual([['C', '2026-01-05T10:00:00', '2', '-1.25']]);
    connection.closeSync();
    instance.closeSync();
});

test('files beside folders by month are read like those in them', async () => {
    const mixed = join(folder, 'mixed');
    await parquet(join(mixed, 'month=2026-01', 'a.parquet'), reading);
    await parquet(join(mixed, 'month=2026-02', 'week=1', 'b.parquet'), `${reading}, 2 as repeat`);
    await parquet(join(mixed, 'c.parquet'), `${reading}, 3 as repeat`);
    const file = join(folder, 'mixed.csv');
    expect(await run('mixed', '--readings', mixed, 'export', 'readings', '--to', file)).toBe(0);
    expect(readFileSync(file, 'utf8').trim().split('\n')).toHaveLength(1 + 3);
});

test.each([
    ['no folder', 'nowhere', () => undefined, 'there is no such folder'],
    ['a file', 'file', () => writeFileSync(join(folder, 'file'), ''), 'it is no folder'],
    ['no Parquet file', 'bare', () => mkdirSync(join(folder, 'bare')), 'no file in it ends in .parquet'],
    [
        'no Parquet inside',
        'text',
        () => {
            mkdirSync(join(folder, 'text'));
            writeFileSync(join(folder, 'text', "it's.parquet"), 'vehicle,chassis\n');
        },
        "it's.parquet cannot be read as Parquet",
    ],
    [
        'a link to elsewhere',
        'link',
        () => {
            mkdirSync(join(folder, 'link'));
            symlinkSync(join(folder, 'small', 'a.parquet'), join(folder, 'link', 'a.parquet'));
        },
        'is a link to a file outside of the folder',
    ],
    [
        'a column that the contract does not know',
        'unknown',
        () => parquet(join(folder, 'unknown', 'a.parquet'), `${reading}, 1 as colour`),
        'a.parquet has colour, which the contract does not know',
    ],
    [
        'a required column missing',
        'missing',
        () => parquet(join(folder, 'missing', 'a.parquet'), "select 'v' as vehicle, -1.0 as camber_deg"),
        'a.parquet lacks chassis, corner, measured_at, visit, visit_kind, phase',
    ],
    [
        'the same reading in two files',
        'twice',
        async () => {
            await parquet(join(folder, 'twice', 'a.parquet'), reading);
            await parquet(join(folder, 'twice', 'b.parquet'), `${reading}, 1 as repeat`);
        },
        '/b.parquet row 1: v FL visit one before repeat 1',
    ],
    [
        'one file without the column that the folder of another tells',
        'folders',
        async () => {
            await parquet(join(folder, 'folders', 'chassis=C', 'a.parquet'), reading);
            await parquet(join(folder, 'folders', 'b.parquet'), reading);
        },
        'lie in folders of other names',
    ],
    [
        'a column of a type that does not go with that of the others',
        'types',
        async () => {
            await parquet(join(folder, 'types', 'a.parquet'), reading);
            await parquet(join(folder, 'types', 'b.parquet'), reading.replace('-1.25', "date '2026-01-05'"));
        },
        'has a column of another type than the others',
    ],
])('%s: what, where and how to mend', async (_, name, make, message) => {
    await make();
    expect(await run('faults', '--readings', join(folder, name), 'slopes')).toBe(1);
    expect(err).toContain(message);
});
