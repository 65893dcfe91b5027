import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { type Field, fieldOf } from './data.js';
import type { Command } from './run.js';
import type { Bench } from './stage.js';

/** Removes a database with its log and its spill folder. */
export function remove(file: string): void {
    for (const ending of ['', '.wal', '.tmp']) rmSync(`${file}${ending}`, { recursive: true, force: true });
}

/** The command that loads kits, targets and the readings of `fields` into the database `name`, and its file. */
export async function loadCommand(
    { data, folder, strutmark }: Bench,
    name: string,
    ...fields: readonly Field[]
): Promise<{ file: string; command: Command }> {
    const file = join(folder, `${name}.duckdb`);
    const files = [await data.kits(), await data.targets()];
    for (const field of fields) files.push(await data.readings(field));
    return { file, command: strutmark('--db', file, 'load', '--quiet', '--later', ...files) };
}

/** A loaded database of the main size, its models built as far as the stage's time goes; stages share it. */
export async function builtDatabase(bench: Bench): Promise<{ file: string; problem: string | null }> {
    const { file, command } = await loadCommand(bench, 'built', fieldOf(bench.size));
    for (const step of [...(existsSync(file) ? [] : [command]), bench.program('models', file)]) {
        const outcome = await bench.run(step);
        if ('problem' in outcome) return { file, problem: outcome.problem };
    }
    return { file, problem: null };
}
