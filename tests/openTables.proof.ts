import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openTables } from '../src/contracts/openTables.js';
import { tables } from '../src/contracts/tables.js';
import { openBook } from '../src/library/index.js';
import { modelFiles } from '../src/model/sqlFile.js';
import { packageRoot } from '../src/packageRoot.js';
import { fewCars, seasonCsv } from './support/shipped.js';

/** Installed by scripts/need-python.mjs, which `npm run proof` runs first. */
const client = join(packageRoot(), 'node_modules', '.cache', 'python');
const folder = mkdtempSync(join(tmpdir(), 'strutmark-open-'));
const database = join(folder, 'season.duckdb');

beforeAll(async () => {
    const files = ['kits', 'targets', 'sessions', 'readings'].map((name) => {
        const file = join(folder, `${name}.csv`);
        writeFileSync(file, seasonCsv(name, fewCars));
        return file;
    });
    const book = openBook(database);
    await book.load(files);
    await book.close();
});
afterAll(() => rmSync(folder, { recursive: true }));

const script = `
import duckdb, json, sys
con = duckdb.connect(sys.argv[1], read_only=True)
answer = {}
for name in json.loads(sys.argv[2]):
    rows = con.execute(f'select * from "{name}"')
    columns = [column[0] for column in rows.description]
    answer[name] = {'columns': columns, 'count': len(rows.fetchall())}
answer['slope'] = con.execute("""
    select shrunk_deg_per_mm from slopes where chassis = 'OTTER' and response = 'camber_deg' and axis = 'out'
""").fetchone()[0]
print(json.dumps(answer))
`;

test('the Python client of DuckDB reads the tables that are open to any client', async ({ skip }) => {
    if (!existsSync(join(client, 'duckdb')))
        skip('the Python client of DuckDB is not there: node scripts/need-python.mjs installs it');
    const names = [...openTables, ...tables.map(({ kind }) => kind)];
    const { status, stdout, stderr } = spawnSync('python3', ['-c', script, database, JSON.stringify(names)], {
        encoding: 'utf8',
        env: { ...process.env, PYTHONPATH: client },
    });
    expect([status, stderr]).toEqual([0, '']);
    const { slope, ...read } = JSON.parse(stdout) as Record<string, { columns: string[]; count: number }> & {
        slope: unknown;
    };
    for (const name of openTables) {
        const documented = modelFiles()
            .find(({ table }) => table === name)!
            .columns.map((column) => column.name);
        expect(read[name]!.columns, name).toEqual(documented);
        expect(read[name]!.count, name).toBeGreaterThan(0);
    }
    for (const { kind, columns } of tables) {
        expect(read[kind]!.columns, kind).toEqual(
            expect.arrayContaining(columns.map((column) => column.name)),
        );
    }
    const book = openBook(database);
    const { rows } = await book.slopes({ chassis: 'OTTER' });
    await book.close();
    const ours = rows.find(({ response, axis }) => response === 'camber_deg' && axis === 'out');
    expect(slope).toBe(ours!.shrunk_deg_per_mm);
});
