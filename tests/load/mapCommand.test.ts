import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { Command } from 'commander';
import { afterAll, expect, test } from 'vitest';
import { parse } from 'yaml';
import type { CommandModule, Context } from '../../src/cli/command.js';
import load from '../../src/cli/commands/load.js';
import map from '../../src/cli/commands/map.js';
import { Output } from '../../src/cli/output.js';
import { loadResult } from '../../src/contracts/results/load.js';
import { mapResult } from '../../src/contracts/results/map.js';
import { UsageError, UserError } from '../../src/errors/errors.js';
import { mapAndKind, mapExists } from '../../src/errors/messages.js';
import { nameOf } from '../support/nameOf.js';

const folder = mkdtempSync(join(tmpdir(), 'strutmark-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

const file = join(import.meta.dirname, '../../fixtures/cases/map/wide-german/export.csv');
const answered = join(file, '../map.yaml');

async function run(
    module: CommandModule,
    words: string[],
    settings: { json?: boolean; quiet?: boolean } = {},
) {
    const stdout = new PassThrough();
    const options = { db: join(folder, 'test.duckdb'), json: false, quiet: false, debug: false, ...settings };
    let status = 0;
    const context: Context = {
        options,
        output: new Output(nameOf(module), options, stdout, new PassThrough()),
        signal: new AbortController().signal,
        setExitCode: (code) => {
            status = code;
        },
    };
    const command = new Command('test').exitOverride();
    module.build(command, context);
    const error = await command.parseAsync(words, { from: 'user' }).then(
        () => null,
        (thrown: unknown) => thrown,
    );
    return { status, error, stdout: String(stdout.read() ?? '') };
}

test('map: the map, then the first rows and the questions; with --quiet the map and the rows', async () => {
    const { error, stdout } = await run(map, [file]);
    expect(error).toBeNull();
    for (const said of [
        'column: "{corner} Sturz {phase}"',
        'These are the first rows as they would load.',
        'columns.toe_deg.diameter_mm: distance of the two measuring points',
        'strutmark load --map MAP.yaml',
    ]) {
        expect(stdout).toContain(said);
    }
    const quiet = await run(map, [file], { quiet: true });
    expect(quiet.stdout).toContain('column: "{corner} Sturz {phase}"');
    expect(quiet.stdout).not.toContain('These are');
});

test('map --json is one object, map --to a file that is not written over', async () => {
    const { rows } = mapResult.parse(JSON.parse((await run(map, [file], { json: true })).stdout));
    expect(parse(rows[0]!.map).columns.vehicle).toBe('Kennzeichen');
    const to = join(folder, 'map.yaml');
    const written = await run(map, [file, '--to', to]);
    expect(written).toMatchObject({ error: null });
    expect(written.stdout).toContain(`questions wait in ${to}`);
    expect(readFileSync(to, 'utf8')).toBe(rows[0]!.map);
    expect((await run(map, [file, '--to', to])).error).toEqual(new UserError(mapExists(to), 'cannot_write'));
});

test('load --map: counts of rows of theirs and of ours; a map with questions is refused, --as too', async () => {
    const { rows } = loadResult.parse(
        JSON.parse((await run(load, ['--map', answered, file], { json: true })).stdout),
    );
    expect(rows[0]).toMatchObject({
        read_count: 13,
        source_row_count: 7,
        dropped_row_count: 1,
        map: answered,
    });
    const again = await run(load, ['--map', answered, file]);
    expect(again.status).toBe(3);
    expect(again.stdout).toMatch(/rows in file +dropped +read/);
    const refused = await run(load, ['--map', join(folder, 'map.yaml'), file]);
    expect((refused.error as Error).message).toContain('ASK waits for your answer');
    const both = await run(load, ['--map', answered, '--as', 'kits', file]);
    expect(both.error).toEqual(new UsageError(mapAndKind()));
});
