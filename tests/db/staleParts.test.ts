import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openDatabase } from '../../src/db/openDatabase.js';

test('making a database removes what killed processes left of it, and nothing else', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'stale-'));
    const { pid: dead } = spawnSync(process.execPath, ['--version']);
    const stale = [`a.duckdb.new-${dead}`, `a.duckdb.new-${dead}.wal`];
    const kept = [
        `a.duckdb.new-${process.ppid}`,
        `a.duckdb.new-${process.ppid}.wal`,
        `a.duckdb.new-${dead}.csv`,
        'a.duckdb.new-99999999999999999999',
        `b.duckdb.new-${dead}`,
    ];
    for (const name of [...stale, ...kept]) writeFileSync(join(folder, name), '');
    const db = await openDatabase({ file: join(folder, 'a.duckdb'), mode: 'create' });
    db.close();
    expect(readdirSync(folder).sort()).toEqual(['a.duckdb', ...kept].sort());
    rmSync(folder, { recursive: true });
});
