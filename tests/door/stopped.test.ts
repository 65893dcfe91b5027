import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, test, vi } from 'vitest';
import { Database } from '../../src/db/database.js';
import { check } from '../../src/model/check.js';
import { loadInto } from '../support/loading.js';

let db: Database;
afterEach(() => db.close());

test('a stop between two queries is not lost: nothing is begun any more, and the transaction is rolled back', async () => {
    const controller = new AbortController();
    db = await Database.open({ file: ':memory:', mode: 'create', signal: controller.signal });
    await db.run('create table readings (angle double)');
    const work = db.transaction(async () => {
        await db.run('insert into readings values (-1.5)');
        controller.abort();
        await db.run('insert into readings values (-2.5)');
    });
    await expect(work).rejects.toThrow(/abort/i);
    // The raw connection, since the database answers no more.
    const reader = await db.connection.runAndReadAll('select count(*)::integer from readings');
    expect(reader.getRows()).toEqual([[0]]);
    for (const asked of [db.run('select 1'), db.cells('select 1'), db.columns('select 1')]) {
        await expect(asked).rejects.toThrow(/abort/i);
    }
});

test('a stop during a commit does not touch it: what is stored is not said to be stopped', async () => {
    const controller = new AbortController();
    db = await Database.open({ file: ':memory:', mode: 'create', signal: controller.signal });
    const { connection } = db;
    const run = connection.run.bind(connection);
    vi.spyOn(connection, 'run').mockImplementation((sql) => {
        if (sql === 'commit') controller.abort();
        return run(sql);
    });
    const interrupt = vi.spyOn(connection, 'interrupt');
    await db.transaction(() => db.run('create table readings (angle double)'));
    expect(controller.signal.aborted).toBe(true);
    expect(interrupt).not.toHaveBeenCalled();
    expect((await connection.runAndReadAll('from readings')).getRows()).toEqual([]);
    await expect(db.run('select 1')).rejects.toThrow(/abort/i);
});

test('a stop ends the query that runs', async () => {
    const controller = new AbortController();
    db = await Database.open({ file: ':memory:', mode: 'create', signal: controller.signal });
    const counted = db.cells(
        'select count(*) as n from range(10000000) a, range(10000000) b where a.range % 7 = b.range % 5',
    );
    setImmediate(() => controller.abort());
    await expect(counted).rejects.toThrow(/interrupt/i);
});

test('a stop between two checks is no failure of the second', async () => {
    const controller = new AbortController();
    db = await Database.open({ file: ':memory:', mode: 'create', signal: controller.signal });
    controller.abort();
    await expect(check(db)).rejects.toThrow(/abort/i);
});

test('a stop after the last file is stored does not say that it is not', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'stopped-'));
    const file = join(folder, 'targets.csv');
    writeFileSync(file, 'target,camber_deg,camber_tol_deg\nstreet,-1.5,0.25\n');
    const controller = new AbortController();
    db = await Database.open({
        file: join(folder, 'stopped.duckdb'),
        mode: 'create',
        paths: [folder],
        signal: controller.signal,
    });
    const run = db.run.bind(db);
    vi.spyOn(db, 'run').mockImplementation(async (sql, parameters) => {
        await run(sql, parameters);
        if (sql === 'commit' && isRead) controller.abort();
    });
    let isRead = false;
    const onProgress = () => {
        isRead = true;
    };
    const { rows } = await loadInto(db, folder, [file], { signal: controller.signal, onProgress });
    expect(controller.signal.aborted).toBe(true);
    expect(rows).toMatchObject([{ read_count: 1, loaded_count: 1 }]);
    const reader = await db.connection.runAndReadAll('select target from targets');
    expect(reader.getRows()).toEqual([['street']]);
    rmSync(folder, { recursive: true });
});
