import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { initResult, startResult } from '../src/contracts/results/start.js';
import { tables } from '../src/contracts/tables.js';
import { nothingHere, wouldOverwrite } from '../src/errors/startMessages.js';
import { inProcess } from './support/inProcess.js';

const folder = mkdtempSync(join(tmpdir(), 'start-'));
const database = join(folder, 'a.duckdb');
const mine = join(folder, 'mine');
const strutmark = (...words: string[]) => inProcess('--db', database, ...words);

afterAll(() => rmSync(folder, { recursive: true }));

test('without a command and a database: what to type first', async () => {
    const { status, out, err } = await strutmark();
    expect(status).toBe(0);
    expect(err).toBe('');
    for (const line of nothingHere(database, []).slice(-4)) expect(out).toContain(line);
    const { rows } = startResult.parse(JSON.parse((await strutmark('--json')).out));
    expect(rows[0]).toMatchObject({ exists: false, reading_count: 0, newest_on: null });
});

beforeAll(async () => {
    expect((await strutmark('init', mine)).status).toBe(0);
});

test('init: two invented rows of each kind, marked as such', () => {
    for (const { kind, columns } of tables) {
        const [header, ...rows] = readFileSync(join(mine, `${kind}.csv`), 'utf8')
            .trim()
            .split('\n');
        expect(header).toBe(columns.map(({ name }) => name).join());
        expect(rows).toHaveLength(2);
        for (const row of rows) expect(row).toMatch(/invented example|^example/);
    }
});

test('init overwrites nothing', async () => {
    writeFileSync(join(mine, 'kits.csv'), readFileSync(join(mine, 'kits.csv'), 'utf8'));
    const { status, err } = await strutmark('init', mine);
    expect(status).toBe(1);
    expect(err).toContain(
        wouldOverwrite([
            ...tables.map(({ kind }) => join(mine, `${kind}.csv`)),
            join(mine, 'rack.csv'),
            join(mine, 'rack.yaml'),
        ]),
    );
    const other = join(folder, 'other');
    const { rows } = initResult.parse(JSON.parse((await strutmark('init', other, '--json')).out));
    expect(rows.map(({ kind }) => kind)).toEqual([...tables.map(({ kind }) => kind), 'export', 'map']);
});

test('the files load as they are, the map too; load ends with what can be asked and what is missing', async () => {
    const first = await strutmark('load', '--later', join(mine, 'readings.csv'));
    expect(first.status).toBe(0);
    expect(first.out).toContain(
        `1 kit is named in 2 readings and not known: EXAMPLE-KIT (first: ${join(mine, 'readings.csv')} line 2). Add it to a kits file`,
    );
    expect(first.out).toContain('1 target is named in 2 readings and not known: example street');
    expect(first.out).toContain('Not loaded yet, and what each would add: kits (');
    const rest = tables.map(({ kind }) => kind).filter((kind) => kind !== 'readings');
    const all = await strutmark('load', '--later', ...rest.map((kind) => join(mine, `${kind}.csv`)));
    expect(all.status).toBe(0);
    expect(all.out).not.toContain('not known');
    expect(all.out).not.toContain('Not loaded yet');
    expect(all.out).toContain(`--db ${database} advise --vehicle 'example car' --change camber=-0.5`);
    const mapped = await strutmark(
        'load',
        '--later',
        '--map',
        join(mine, 'rack.yaml'),
        join(mine, 'rack.csv'),
    );
    expect(mapped.err).toBe('');
    expect(mapped.status).toBe(0);
    const { rows } = startResult.parse(JSON.parse((await strutmark('--json')).out));
    expect(rows[0]).toMatchObject({
        exists: true,
        reading_count: 6,
        vehicle_count: 2,
        rejected_count: 0,
        unknown_kits: [],
        missing_kinds: [],
        newest_on: '2026-03-12',
    });
    const line = rows[0]!.next.find((one) => one.includes('--change'))!;
    const words = line.match(/'[^']*'|\S+/g)!.map((word) => word.replaceAll("'", ''));
    const asked = await inProcess(...words.slice(words.indexOf('--db')));
    expect(asked).toMatchObject({ status: 0, err: '' });
    expect(asked.out).toContain('Camber -0.50 deg: front left:');
});

test('gauges are not offered where no reading names a gauge or a person', async () => {
    const bare = join(folder, 'bare.csv');
    const row = (more: string) => `a,B,FL,2026-04-01,v1,check,before,-1.2,${more}\n`;
    const header = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg,gauge\n';
    writeFileSync(bare, header + row(''));
    const other = join(folder, 'bare.duckdb');
    const first = await inProcess('--db', other, 'load', '--later', bare);
    expect(first.out).toContain(' check\n');
    expect(first.out).not.toContain(' gauges\n');
    writeFileSync(bare, header + row('rack'));
    expect((await inProcess('--db', other, 'load', '--later', '--replace', bare)).out).toContain(' gauges\n');
});

test('a word that is no command is still told so', async () => {
    const { status, err } = await strutmark('advice');
    expect(status).toBe(2);
    expect(err).toContain("unknown command 'advice'");
});
