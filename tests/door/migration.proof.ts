import {
    copyFileSync,
    existsSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    rmSync,
    writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import { tables } from '../../src/contracts/tables.js';
import { Database, identifier } from '../../src/db/database.js';
import { SCHEMA_VERSION } from '../../src/db/migrations.js';
import { openDatabase } from '../../src/db/openDatabase.js';
import { migrated } from '../../src/errors/databaseMessages.js';
import { newerSchema } from '../../src/errors/messages.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { generator } from '../support/mutations.js';
import { Program } from '../support/program.js';
import { contentOf, versionOne } from '../support/versionOne.js';
import { readingsFile } from '../support/wholeFiles.js';

let folder: string;
let program: Program;
/** A database of schema 1, a copy of it to work on, and a new one with the same files. */
let old: string;
let database: string;
let fresh: string;
let oldContent: Record<string, unknown>;
let freshContent: Record<string, unknown>;
let backup: string;

beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    program = Program.make();
    [old, database, fresh] = ['old', 'work', 'fresh'].map((name) => join(folder, `${name}.duckdb`)) as [
        string,
        string,
        string,
    ];
    backup = `${database}.v1.backup`;
    const cases = join(import.meta.dirname, '../../fixtures/cases/load');
    const kinds = join(cases, 'all-kinds');
    const files = readdirSync(kinds).filter((name) => name.endsWith('.csv'));
    const replacing = ['first.csv', 'second.csv'].map((name) => join(cases, 'replace', name));
    const again = readingsFile(folder, 'a', 120);
    await loadFiles([...files.map((name) => join(kinds, name)), ...replacing, again], fresh, {
        replace: true,
    });
    await versionOne(old, fresh);
    oldContent = await contentOf(old);
    freshContent = await contentOf(fresh);
});
beforeEach(begin);
afterAll(() => {
    program.close();
    rmSync(folder, { recursive: true });
});

const rowsOf = (content: Record<string, unknown>, name: string) =>
    (content[name] as { rows: Record<string, unknown>[] }).rows;

/** The old database alone: no copy, and no log that would belong to another. */
function begin(): void {
    for (const name of readdirSync(folder)) if (name.startsWith('work')) rmSync(join(folder, name));
    copyFileSync(old, database);
}

const backups = () => readdirSync(folder).filter((name) => name.includes('backup'));

test('the rows of the two are of every kind, replaced and rejected ones too', () => {
    const filled = Object.keys(freshContent).filter((name) => rowsOf(freshContent, name).length > 0);
    expect(filled).toEqual([
        'hardware',
        'kits',
        'loads',
        'meta',
        'readings',
        'rejects',
        'sessions',
        'shafts',
        'shafts_history',
        'targets',
    ]);
});

test('migrated, an old database equals a new one with the same files; the copy is as it was', async () => {
    const said: string[] = [];
    const file = readingsFile(folder, 'b', 10);
    await loadFiles([file], database, { say: (text) => said.push(text) });
    expect(said).toEqual([migrated(database, 1, SCHEMA_VERSION, backup)]);
    expect(await contentOf(backup)).toEqual(oldContent);
    copyFileSync(fresh, join(folder, 'work-fresh.duckdb'));
    await loadFiles([file], join(folder, 'work-fresh.duckdb'));
    const timeless = async (path: string) => {
        const content = await contentOf(path);
        return { ...content, loads: rowsOf(content, 'loads').map((row) => ({ ...row, loaded_at: null })) };
    };
    expect(await timeless(database)).toEqual(await timeless(join(folder, 'work-fresh.duckdb')));
});

test('a command that only reads migrates too, says so once, and leaves --json alone', async () => {
    const words = ['rejects', '--json', '--db', database];
    const { status, stdout, stderr } = program.run(words, folder);
    expect([status, stderr]).toEqual([0, `${migrated(database, 1, SCHEMA_VERSION, backup)}\n`]);
    expect(JSON.parse(stdout).rows.length).toBeGreaterThan(0);
    expect(await contentOf(database)).toEqual(freshContent);
    expect(program.run(words, folder)).toEqual({ status: 0, stdout, stderr: '' });
    expect(backups()).toEqual(['work.duckdb.v1.backup']);
});

test('another file of the name of the copy stays', async () => {
    writeFileSync(backup, 'mine');
    await loadFiles([readingsFile(folder, 'b', 10)], database);
    expect(readFileSync(backup, 'utf8')).toBe('mine');
    expect(await contentOf(`${backup}.2`)).toEqual(oldContent);
});

test('a dry run tells what would happen and migrates nothing', async () => {
    const { rows } = await loadFiles([readingsFile(folder, 'b', 10)], database, { dryRun: true });
    expect(rows[0]).toMatchObject({ loaded_count: 9 });
    expect(await contentOf(database)).toEqual(oldContent);
    expect(backups()).toEqual([]);
});

test('no room for the copy: the database stays as it is, and the message says what to do', async () => {
    const { status, stderr } = program.run(['slopes', '--db', database], folder, 'ulimit -f 300;');
    expect(status).toBe(1);
    expect(stderr).toContain(`${backup}, cannot be written`);
    expect(await contentOf(database)).toEqual(oldContent);
    expect(backups()).toEqual([]);
});

test('a migration that fails midway is undone', async () => {
    const db = await Database.open({ file: database, mode: 'write' });
    await db.run('alter table shafts add column colour varchar');
    db.close();
    const before = await contentOf(database);
    await expect(loadFiles([readingsFile(folder, 'b', 10)], database)).rejects.toThrow(
        'no migration brings shafts',
    );
    expect(await contentOf(database)).toEqual(before);
});

test('columns that the contract has gained are added in their place, blank, and can be filled', async () => {
    const random = generator(20240505);
    for (let round = 0; round < 2; round++) {
        begin();
        copyFileSync(fresh, database);
        const lost = tables.flatMap(({ kind, columns }) => {
            const optional = columns.filter(({ required, name }) => !required && name !== 'repeat');
            return optional.filter(() => random(3) === 0).map(({ name }) => ({ kind, name }));
        });
        const blanked = structuredClone(freshContent);
        const db = await Database.open({ file: database, mode: 'write' });
        for (const { kind, name } of lost) {
            for (const table of [kind, `${kind}_history`]) {
                await db.run(`alter table ${identifier(table)} drop column ${identifier(name)}`);
                for (const row of rowsOf(blanked, table)) row[name] = null;
            }
        }
        db.close();
        const said: string[] = [];
        (await openDatabase({ file: database, mode: 'read', say: (text) => said.push(text) })).close();
        const kept = `${database}.v${SCHEMA_VERSION}.backup`;
        expect(said).toEqual([migrated(database, SCHEMA_VERSION, SCHEMA_VERSION, kept)]);
        const sorted = (content: Record<string, unknown>) =>
            Object.entries(content).map(([table, held]) => [
                table,
                { ...(held as object), rows: null },
                rowsOf(content, table)
                    .map((row) => JSON.stringify(row))
                    .sort(),
            ]);
        expect(sorted(await contentOf(database))).toEqual(sorted(blanked));
        const text = readFileSync(readingsFile(folder, 'b', 10), 'utf8').split('\n');
        const noted = text.map((line, n) => (line === '' ? '' : `${line},${n === 0 ? 'tyre_kpa' : '210'}`));
        const file = join(folder, 'work-noted.csv');
        writeFileSync(file, noted.join('\n'));
        const { rows } = await loadFiles([file], database);
        expect(rows[0]).toMatchObject({ loaded_count: 9, rejected_count: 1 });
        const pressed = rowsOf(await contentOf(database), 'readings').filter(
            ({ tyre_kpa }) => tyre_kpa === '210.0',
        );
        expect(pressed).toHaveLength(9);
    }
});

test('killed midway, a database is old or new, and whole', async () => {
    const random = generator(20240504);
    for (let n = 0; n < 2; n++) {
        begin();
        const words = ['rejects', '--db', database];
        const { child, ended } = await program.startUntil(words, folder, () => existsSync(backup));
        await setTimeout(random(250));
        child.kill('SIGKILL');
        await ended;
        expect(await contentOf(backup)).toEqual(oldContent);
        const content = await contentOf(database);
        expect([oldContent, freshContent]).toContainEqual(content);
        (await openDatabase({ file: database, mode: 'read' })).close();
        expect(await contentOf(database)).toEqual(freshContent);
    }
});

test('a newer database is refused, also by a command that only reads', async () => {
    const db = await Database.open({ file: database, mode: 'write' });
    await db.run("update meta set value = '99'");
    db.close();
    const { status, stderr } = program.run(['slopes', '--db', database], folder);
    expect([status, stderr]).toEqual([1, `error: ${newerSchema(database, 99, SCHEMA_VERSION)}\n`]);
});
