import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { Command } from 'commander';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { CommandModule, Context } from '../../src/cli/command.js';
import load from '../../src/cli/commands/load.js';
import rejects from '../../src/cli/commands/rejects.js';
import { Output } from '../../src/cli/output.js';
import { loadProgress } from '../../src/cli/progress.js';
import { loadResult, rejectsResult, writtenRejectsResult } from '../../src/contracts/results/load.js';
import { UserError } from '../../src/errors/errors.js';
import { dryRunDone, missingFile, rowsSetAside, rowsToSetAside } from '../../src/errors/messages.js';
import { nameOf } from '../support/nameOf.js';

let folder: string;
beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'strutmark-test-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

function captured() {
    const stream = new PassThrough();
    return { stream, text: () => String(stream.read() ?? '') };
}

async function run(module: CommandModule, words: string[], { json = false } = {}) {
    const [stdout, stderr] = [captured(), captured()];
    const options = { db: join(folder, 'test.duckdb'), json, quiet: false, debug: false };
    let status = 0;
    const context: Context = {
        options,
        output: new Output(nameOf(module), options, stdout.stream, stderr.stream),
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
    return { status, error, stdout: stdout.text(), stderr: stderr.text() };
}

function file(name: string, content: string): string {
    const path = join(folder, name);
    writeFileSync(path, content);
    return path;
}

test('load: 0 where all rows were taken, 3 where some were set aside, and the rejects', async () => {
    const good = file('good.csv', 'kit,mark_pitch_mm\nK1,2\n');
    const bad = file('bad.csv', 'kit,mark_pitch_mm\nK2,"2,5"\nK3,2\n');
    expect(await run(load, [good])).toMatchObject({ status: 0, error: null, stderr: '' });
    const loaded = await run(load, [good, bad], { json: true });
    expect(loaded).toMatchObject({ status: 3, error: null, stderr: '' });
    const answer = loadResult.parse(JSON.parse(loaded.stdout));
    expect(answer.rows.map((row) => [row.loaded_count, row.duplicate_count, row.rejected_count])).toEqual([
        [0, 1, 0],
        [1, 0, 1],
    ]);
    expect(answer.notes).toEqual([
        rowsSetAside(1),
        expect.stringMatching(
            /^Not loaded yet, and what each would add: readings \(everything rests on them\); targets/,
        ),
    ]);

    const listed = rejectsResult.parse(JSON.parse((await run(rejects, [], { json: true })).stdout));
    expect(listed.rows).toMatchObject([{ file: bad, line: 2, column: 'mark_pitch_mm', text: 'K2,"2,5"' }]);
    expect((await run(rejects, [])).stdout).toContain(`${bad}:2`);
    const written = await run(rejects, ['--to', join(folder, 'mend.csv')], { json: true });
    expect(writtenRejectsResult.parse(JSON.parse(written.stdout)).rows).toMatchObject([{ row_count: 1 }]);
});

test('load: files that cannot be taken are an error, those beside them are reported', async () => {
    const good = file('good.csv', 'kit,mark_pitch_mm\nK1,2\n');
    const missing = join(folder, 'missing.csv');
    const { error, stdout } = await run(load, [missing, good], { json: true });
    expect(error).toEqual(new UserError(missingFile(missing)));
    expect(loadResult.parse(JSON.parse(stdout)).rows).toMatchObject([{ file: good, loaded_count: 1 }]);
});

test('load --dry-run and --as', async () => {
    const good = file('good.csv', 'kit,mark_pitch_mm\nK1,2\n');
    const { stdout } = await run(load, ['--dry-run', '--as', 'kits', good]);
    expect(stdout).toContain(dryRunDone());
    expect(existsSync(join(folder, 'test.duckdb'))).toBe(false);
    // Nothing is stored, so rejects has nothing to show yet.
    const bad = file('bad.csv', 'kit,mark_pitch_mm\nK2,"2,5"\nK3,2\n');
    const dry = await run(load, ['--dry-run', bad], { json: true });
    expect([dry.status, loadResult.parse(JSON.parse(dry.stdout)).notes]).toEqual([
        3,
        [rowsToSetAside(1), dryRunDone()],
    ]);
    expect((await run(load, ['--as', 'shafts', good])).error).toBeInstanceOf(UserError);
});

test('rejects without a database', async () => {
    expect((await run(rejects, [])).error).toBeInstanceOf(UserError);
});

test('progress: silent in the first seconds of a file, then now and again', () => {
    const stderr = captured();
    const options = { db: 'x', json: false, quiet: false, debug: false };
    let time = 0;
    const report = loadProgress(new Output('load', options, captured().stream, stderr.stream), () => time);
    const at = (ms: number, byteCount: number) => {
        time = ms;
        report({ file: 'readings.csv', byteCount, ofByteCount: 80_000_000 });
    };
    at(0, 1_000_000);
    at(1900, 2_000_000);
    expect(stderr.text()).toBe('');
    at(2100, 20_000_000);
    at(2200, 21_000_000);
    at(7200, 40_000_000);
    expect(stderr.text()).toBe(
        'readings.csv: 25 %, 20 of 80 MB read\nreadings.csv: 50 %, 40 of 80 MB read\n',
    );
});
