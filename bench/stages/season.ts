import { copyFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { remove } from '../databases.js';
import { line } from '../line.js';
import type { Stage } from '../stage.js';

const questions: readonly (readonly string[])[] = [
    ['slopes'],
    ['gauges'],
    ['drift'],
    ['audit'],
    ['range'],
    ['check'],
    ['clocking', '--chassis', 'OTTER', '--kit', 'AMBER-3', '--target', 'street'],
    ['stack', '--kit', 'AMBER-3', '--shaft', 'S14-36'],
    ['rejects'],
];

export default {
    name: 'season',
    title: 'The example season: four readings more, and the questions after them',
    async run({ folder, interleave, run, sources, strutmark }) {
        const season = join(sources, '..', 'fixtures', 'season');
        const others = readdirSync(season).filter((name) => /^(?!readings).*\.csv$/.test(name));
        const rows = readFileSync(join(season, 'readings.csv'), 'utf8').trimEnd().split('\n');
        const before = join(folder, 'season-before.csv');
        const more = join(folder, 'season-more.csv');
        writeFileSync(before, `${rows.slice(0, -4).join('\n')}\n`);
        writeFileSync(more, `${[rows[0], ...rows.slice(-4)].join('\n')}\n`);
        const built = join(folder, 'season.duckdb');
        const grown = join(folder, 'season-grown.duckdb');
        const files = [...others.map((name) => join(season, name)), before];
        const first = await run(strutmark('--db', built, 'load', '--quiet', ...files));
        if ('problem' in first) return [line('season', 'load', undefined, { note: first.problem })];
        const prepare = () => copyFileSync(built, grown);
        const load = (...words: string[]) => [strutmark('--db', grown, 'load', '--quiet', ...words, more)];
        const trials = await interleave(
            [
                { name: 'load --later', commands: load('--later'), prepare },
                { name: 'load', commands: load(), prepare },
                ...questions.map((words) => ({
                    name: words[0]!,
                    commands: [strutmark('--db', grown, '--quiet', ...words)],
                })),
            ],
            5,
        );
        for (const file of [built, grown]) remove(file);
        return [...trials].map(([what, trial]) =>
            line('season', what, trial, {
                goals: [{ of: 'wall_ms', at_most: what.startsWith('load') ? 1500 : 400 }],
            }),
        );
    },
} satisfies Stage;
