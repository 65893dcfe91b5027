import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import { Database } from '../../src/db/database.js';
import { failedQuery } from '../../src/db/failedQuery.js';
import { openDatabase } from '../../src/db/openDatabase.js';
import { bugOfOurs } from '../../src/errors/messages.js';
import { programName } from '../../src/errors/programName.js';
import { packageVersion } from '../../src/packageRoot.js';
import { inProcess } from '../support/inProcess.js';
import { insertRows } from '../support/memory.js';

/** What is said where the program itself is wrong; here a database whose column is of another type. */

const folder = mkdtempSync(join(tmpdir(), 'bug of-'));
const database = join(folder, 'a.duckdb');

beforeAll(async () => {
    const db = await openDatabase({ file: database, mode: 'create' });
    const state = { vehicle: 'V', chassis: 'X', corner: 'FL', measured_at: '2026-01-01', visit: 'v' };
    await insertRows(db, 'readings', [
        { ...state, visit_kind: 'check', phase: 'before', camber_deg: -1, kit: 'K' },
    ]);
    await db.run('alter table kits alter column mark_pitch_mm type double[] using [mark_pitch_mm]');
    db.close();
});
afterAll(() => rmSync(folder, { recursive: true }));

const words = ['--db', database, 'slopes', '--chassis', 'X'];

test('a bug names the command, the version and what to send', async () => {
    const { status, out, err } = await inProcess(...words);
    expect(status).toBe(70);
    expect(out).toBe('');
    expect(err).toContain(`This is a bug of Strutmark ${packageVersion()}, not of your data: Binder Error`);
    expect(err).toContain(`command: ${programName()} --db '${database}' slopes --chassis X\n`);
    expect(err).toMatch(/again with --debug.* send .*the command, and a database or files/);
    expect(err).not.toMatch(/^ {4}at /m);
});

test('--debug shows the system, the query that failed and the stack', async () => {
    const { status, err } = await inProcess(...words, '--debug');
    expect(status).toBe(70);
    expect(err).not.toContain('again with --debug');
    expect(err).toContain(`Node ${process.version}`);
    expect(err).toMatch(/\nquery:\ncreate or replace table "plates" as -- title: /);
    expect(err).toMatch(/^ {4}at .*build/m);
});

test.each([
    ['one two', "'one two'"],
    ["o'ne", "'o'\\''ne'"],
    ['', "''"],
    ['$HOME', "'$HOME'"],
    ['/a/b-c.csv', '/a/b-c.csv'],
])('the command can be given to a shell again: %s', (word, shown) => {
    expect(bugOfOurs('x', ['load', word], '1', false)).toContain(`command: ${programName()} load ${shown}\n`);
});

test('every way of asking notes its query, and what an error caused leads to it', async () => {
    const db = await Database.open({ file: ':memory:', mode: 'create' });
    const row = z.object({ a: z.string() });
    const failing = [
        ['select run', () => db.run('select run')],
        ['select run, $a', () => db.run('select run, $a', { a: 1 })],
        ['select cells', () => db.cells('select cells')],
        ['select columns', () => db.columns('select columns')],
        ['select 1 as a', () => db.rows(row, 'select 1 as a')],
    ] as const;
    for (const [query, ask] of failing) {
        const error = await ask().catch((caught: unknown) => caught);
        expect(failedQuery(error)).toBe(query);
        expect(failedQuery(new Error('more', { cause: error }))).toBe(query);
    }
    expect(failedQuery(new Error('other'))).toBeUndefined();
    db.close();
});
