import { copyFileSync, rmSync, statSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { fieldOf } from '../data.js';
import { remove } from '../databases.js';
import { line } from '../line.js';
import type { Stage } from '../stage.js';

export default {
    name: 'load',
    title: 'Loading readings against the floor: the same DuckDB, the same file, untyped columns, nothing checked',
    async run({ data, folder, interleave, program, size, strutmark }) {
        const file = await data.readings(fieldOf(size));
        const shorter = join(folder, 'without-last-line-end.csv');
        copyFileSync(file, shorter);
        truncateSync(shorter, statSync(file).size - 1);
        const floor = join(folder, 'floor.duckdb');
        const loaded = join(folder, 'loaded.duckdb');
        const load = (path: string) => [strutmark('--db', loaded, 'load', '--quiet', '--later', path)];
        const trials = await interleave([
            {
                name: 'floor',
                commands: [program('floor', floor, file)],
                prepare: () => remove(floor),
            },
            { name: 'load', commands: load(file), prepare: () => remove(loaded) },
            { name: 'same', commands: load(file) },
            { name: 'again', commands: load(shorter) },
        ]);
        remove(floor);
        remove(loaded);
        rmSync(shorter);
        const against = { against: 'floor', baseline: trials.get('floor')! };
        return [
            line('load', 'floor', trials.get('floor'), {
                figure: { value: statSync(file).size / 1e6, unit: 'MB of CSV' },
            }),
            line('load', 'load', trials.get('load'), {
                ...against,
                goals: [
                    { of: 'wall_ratio', at_most: 1.5 },
                    { of: 'peak_mb', at_most: 2048 },
                ],
            }),
            line('load', 'load again, the same bytes', trials.get('same'), {
                ...against,
                goals: [{ of: 'wall_ratio', at_most: 2 }],
            }),
            line('load', 'load again, other bytes, all duplicates', trials.get('again'), {
                ...against,
                goals: [{ of: 'wall_ratio', at_most: 2 }],
            }),
        ];
    },
} satisfies Stage;
