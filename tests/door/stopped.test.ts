import { afterEach, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { check } from '../../src/model/check.js';

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
