import { createReadStream, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fieldOf } from '../data.js';
import { remove } from '../databases.js';
import { line } from '../line.js';
import type { Stage } from '../stage.js';

const rowCount = 200;

/** Cuts `file` into `count` files of 200 rows; the generator writes no line breaks inside cells. */
async function cut(file: string, folder: string, count: number): Promise<string[]> {
    mkdirSync(folder);
    const files: string[] = [];
    let header = '';
    let rows: string[] = [];
    for await (const text of createInterface({ input: createReadStream(file) })) {
        if (header === '') header = text;
        else if (rows.push(text) === rowCount) {
            const path = join(folder, `${files.length}.csv`);
            writeFileSync(path, `${[header, ...rows].join('\n')}\n`);
            rows = [];
            if (files.push(path) === count) break;
        }
    }
    return files;
}

export default {
    name: 'files',
    title: 'Small files of 200 rows in one load',
    async run({ data, folder, full, interleave, program, strutmark }) {
        const count = full ? 1000 : 200;
        const files = await cut(
            await data.readings(fieldOf((count + 20) * rowCount)),
            join(folder, 'files'),
            count,
        );
        const floor = join(folder, 'floor.duckdb');
        const loaded = join(folder, 'loaded.duckdb');
        const trials = await interleave([
            {
                name: 'floor',
                commands: [program('floor', floor, ...files)],
                prepare: () => remove(floor),
            },
            {
                name: 'load',
                commands: [strutmark('--db', loaded, 'load', '--quiet', '--later', ...files)],
                prepare: () => remove(loaded),
            },
        ]);
        const result = line('files', `load of ${count} files`, trials.get('load'), {
            against: 'floor',
            baseline: trials.get('floor')!,
            goals: [{ of: 'figure', at_most: 10 }],
        });
        if (result.wall_ms !== null) result.figure = { value: result.wall_ms / count, unit: 'ms a file' };
        return [line('files', `floor of ${count} files`, trials.get('floor')), result];
    },
} satisfies Stage;
