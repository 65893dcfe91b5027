import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { Command } from 'commander';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateInstalls } from '../../fixtures/physics/installs.js';
import type { CommandModule, Context } from '../../src/cli/command.js';
import merge from '../../src/cli/commands/merge.js';
import range from '../../src/cli/commands/range.js';
import share from '../../src/cli/commands/share.js';
import { Output } from '../../src/cli/output.js';
import { mergeResult } from '../../src/contracts/results/merge.js';
import { rangeResult } from '../../src/contracts/results/range.js';
import { shareResult } from '../../src/contracts/results/share.js';
import { tables } from '../../src/contracts/tables.js';
import { Database } from '../../src/db/database.js';
import { createSchema } from '../../src/db/schema.js';
import { UsageError, UserError } from '../../src/errors/errors.js';
import { insertRows, type Rows } from '../support/memory.js';
import { nameOf } from '../support/nameOf.js';

const folder = mkdtempSync(join(tmpdir(), 'share-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function run(module: CommandModule, db: string, words: string[], json = false) {
    const [stdout, stderr] = [new PassThrough(), new PassThrough()];
    const options = { db: join(folder, db), json, quiet: false, debug: false };
    const context: Context = {
        options,
        output: new Output(nameOf(module), options, stdout, stderr),
        signal: new AbortController().signal,
        setExitCode: () => undefined,
    };
    const command = new Command('test').exitOverride();
    module.build(command, context);
    const error = await command.parseAsync(words, { from: 'user' }).then(
        () => null,
        (thrown: unknown) => thrown,
    );
    return { error, stdout: String(stdout.read() ?? ''), stderr: String(stderr.read() ?? '') };
}

async function site(name: string, input: Readonly<Record<string, Rows>>): Promise<void> {
    const db = await Database.open({ file: join(folder, name), mode: 'create' });
    await createSchema(db);
    for (const { kind } of tables) await insertRows(db, kind, input[kind] ?? []);
    db.close();
}

let east: { kits: Rows };
/** What share said of east, which made its key. */
let shared: Awaited<ReturnType<typeof run>>;
const place = (name: string) => join(folder, name);

beforeAll(async () => {
    const goal = { camber_deg: -1, caster_deg: 6, toe_deg: 0.05 };
    for (const [name, seed] of [
        ['east.duckdb', 41],
        ['west.duckdb', 42],
    ] as const) {
        const { readings, kits, targets } = simulateInstalls({
            seed,
            designs: designs.slice(0, 2),
            vehicles: 5,
            goal,
            repeats: 2,
        });
        await site(name, { readings, kits, targets });
        if (name === 'east.duckdb') east = { kits };
    }
    await site('bare.duckdb', {});
    shared = await run(share, 'east.duckdb', ['--to', place('east.parquet')]);
});

test('share says what it holds in clear, and where the key is; again it says nothing of the key', async () => {
    const first = shared;
    expect(first.error).toBeNull();
    expect(first.stdout).toContain(`Made the key ${place('east.duckdb.key')}`);
    expect(first.stdout).toContain('holds in clear: chassis codes (OTTER, STOAT)');
    const key = readFileSync(place('east.duckdb.key'), 'utf8').trim();
    const again = await run(share, 'east.duckdb', ['--to', place('again.parquet')], true);
    const { rows, notes } = shareResult.parse(JSON.parse(again.stdout));
    expect(rows).toMatchObject([{ vehicle_count: 10, state_count: 20, chassis: ['OTTER', 'STOAT'] }]);
    expect(notes.join(' ')).not.toContain('Made the key');
    expect(again.stdout + first.stdout).not.toContain(key);
    expect(readFileSync(place('again.parquet')).equals(readFileSync(place('east.parquet')))).toBe(true);
});

test('merge answers with slopes, populations and needs, as JSON and as tables', async () => {
    await run(share, 'west.duckdb', ['--to', place('west.parquet'), '--key', place('elsewhere.key')]);
    expect(existsSync(place('elsewhere.key'))).toBe(true);
    expect(existsSync(place('west.duckdb.key'))).toBe(false);
    const files = [place('east.parquet'), place('west.parquet')];
    const { rows, populations, needs, notes } = mergeResult.parse(
        JSON.parse((await run(merge, '-', files, true)).stdout),
    );
    expect(rows).toHaveLength(2 * 8);
    expect(rows[0]).toMatchObject({
        chassis: 'OTTER',
        response: 'camber_deg',
        axis: 'out',
        vehicle_count: 10,
        site_count: 2,
    });
    expect(populations).toHaveLength(8);
    expect(
        needs.map(({ chassis, corner_count, site_count }) => ({ chassis, corner_count, site_count })),
    ).toEqual([
        { chassis: 'OTTER', corner_count: 20, site_count: 2 },
        { chassis: 'STOAT', corner_count: 20, site_count: 2 },
    ]);
    expect(notes[0]).toContain('2 sites, 20 cars. A car that two sites know counts as two');
    const { stdout } = await run(merge, '-', files);
    for (const title of ['Between chassis', 'Needed offsets', 'camber -1.0 ±0.15', 'sites'])
        expect(stdout).toContain(title);
});

test('merge --kit reaches of the shared needs what range reaches of the readings; --slot asks for a length only', async () => {
    const columns = Object.keys(east.kits[0]!);
    const lines = east.kits.map((kit) => columns.map((column) => kit[column] ?? '').join(','));
    writeFileSync(place('kits.csv'), [columns.join(','), ...lines, ''].join('\n'));
    const words = [place('east.parquet'), '--kit', place('kits.csv'), '--slot', '0'];
    const { reaches } = mergeResult.parse(JSON.parse((await run(merge, '-', words, true)).stdout));
    const own = rangeResult.parse(JSON.parse((await run(range, 'east.duckdb', [], true)).stdout)).rows;
    const numbers = (row: (typeof reaches)[number] | (typeof own)[number]) => [
        row.chassis,
        row.kit,
        row.corner_count,
        row.share_reachable,
        row.half_length_90_mm,
        row.half_length_99_mm,
    ];
    const kits = reaches.filter(({ kit }) => !kit.startsWith('slot'));
    expect(kits.length).toBeGreaterThan(1);
    expect(kits.map(numbers)).toEqual(own.filter(({ plate_index }) => plate_index === null).map(numbers));
    const slots = reaches.filter(({ kit }) => kit === 'slot at 0 deg');
    expect(slots).toHaveLength(2);
    for (const row of slots) {
        expect(row.share_reachable).toBeNull();
        expect(row.half_length_90_mm!).toBeGreaterThanOrEqual(0);
    }
    const { stdout } = await run(merge, '-', words);
    expect(stdout).toMatch(/^\S+ reaches \d+ % of \d+ corners over 2 chassis and targets/);
    expect(stdout).not.toContain('Between chassis');
    writeFileSync(place('bad.csv'), 'kit,mark_pitch_mm\nX,900\n');
    const bad = await run(merge, '-', [place('east.parquet'), '--kit', place('bad.csv')]);
    expect(String(bad.error)).toContain('line 2, column mark_pitch_mm');
});

test('what cannot be shared says why, and leaves nothing behind', async () => {
    const ending = await run(share, 'east.duckdb', ['--to', place('east.csv')]);
    expect(ending.error).toBeInstanceOf(UsageError);
    const bare = await run(share, 'bare.duckdb', ['--to', place('bare.parquet')]);
    expect(bare.error).toBeInstanceOf(UserError);
    expect(String(bare.error)).toContain('no readings yet');
    for (const name of ['bare.parquet', 'bare.duckdb.key']) expect(existsSync(place(name))).toBe(false);
    const nowhere = await run(share, 'east.duckdb', ['--to', place('no/such/folder.parquet')]);
    expect(String(nowhere.error)).toContain('cannot be written');
});
