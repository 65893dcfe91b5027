import { copyFileSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Database } from '../../src/db/database.js';
import { loadFiles } from '../../src/load/loadFiles.js';
import { packageRoot } from '../../src/packageRoot.js';
import { generator } from '../support/mutations.js';
import { Program } from '../support/program.js';
import { wholeFiles } from '../support/wholeFiles.js';

let folder: string;
let program: Program;
/** A database with readings and no model, and a copy of it to work on. */
let loaded: string;
let database: string;

beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'door-'));
    program = Program.make();
    const season = join(packageRoot(), 'fixtures', 'season', 'readings.csv');
    loaded = join(folder, 'season.duckdb');
    database = join(folder, 'work.duckdb');
    await loadFiles([season], loaded);
});
afterAll(() => {
    program.close();
    rmSync(folder, { recursive: true });
});

/**
 * Runs a command that has to build the model on a database that is held until it waits for it, so that it is under way when it is
 * stopped: once the database and its log have grown to `stopAt` bytes. Returns the most that they took, and how it ended.
 */
async function run(words: readonly string[], stopAt = Number.POSITIVE_INFINITY) {
    const holder = await Database.open({ file: database, mode: 'write' });
    const started = program.start([...words, '--db', database, '--wait', '600'], folder);
    await new Promise((resolve) => started.child.stderr!.once('data', resolve));
    holder.close();
    return program.stop(started, database, (bytes) => bytes >= stopAt, 'SIGINT');
}

test('Ctrl-C while a command builds its tables or writes a file leaves the database usable', async () => {
    const words = ['slopes', '--json'];
    copyFileSync(loaded, database);
    const before = await wholeFiles(database);
    const undisturbed = await run(words);
    expect(undisturbed.status).toBe(0);
    const empty = statSync(loaded).size;
    const random = generator(20240505);
    let stopped = 0;
    const asks = [words, ['export', 'moves', '--to', 'moves.csv', '--overwrite'], words];
    // On a busy machine a command may be done before it is stopped: until one was.
    for (let n = 0; n < asks.length || (stopped === 0 && n < 40); n++) {
        const asked = asks[n % asks.length]!;
        copyFileSync(loaded, database);
        // The first one as soon as it may.
        const stopAt = stopped === 0 ? 0 : empty + random(undisturbed.bytes - empty);
        const { status, stdout, stderr } = await run(asked, stopAt);
        if (status !== 0) {
            stopped += 1;
            expect({ status, stdout }).toEqual({ status: 1, stdout: '' });
            expect(stderr).toContain('Stopped');
        }
        expect(await wholeFiles(database)).toEqual(before);
        expect(readdirSync(folder).filter((name) => name.startsWith('.'))).toEqual([]);
        const again = await run(words);
        expect([again.status, again.stdout === undisturbed.stdout]).toEqual([0, true]);
    }
    expect(stopped).toBeGreaterThan(0);
});
