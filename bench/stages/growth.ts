import { fieldOf } from '../data.js';
import { loadCommand, remove } from '../databases.js';
import type { Arm } from '../interleave.js';
import { line, scaled } from '../line.js';
import type { Bench, Line, Stage } from '../stage.js';

/** Load and models of `size` readings, with DuckDB's memory limited where a limit is given. */
async function arms(bench: Bench, size: number, memory: string | null): Promise<Arm[]> {
    const { command, file } = await loadCommand(bench, `growth-${size}`, fieldOf(size));
    const limit = memory === null ? [] : [memory];
    const load = { ...command, args: [...command.args, ...(memory === null ? [] : ['--memory', memory])] };
    return [
        { name: `load ${size}`, commands: [load], prepare: () => remove(file) },
        { name: `models ${size}`, commands: [bench.program('models', file, ...limit)] },
    ];
}

export default {
    name: 'growth',
    title: 'Cost per reading as the readings grow, against the second size',
    async run(bench) {
        const sizes = bench.full ? [1e5, 1e6, 1e7] : [25e3, 5e4, 1e5];
        const all: Arm[] = [];
        for (const size of sizes) all.push(...(await arms(bench, size, null)));
        const trials = await bench.interleave(all);
        if (bench.full && bench.memory !== null) {
            sizes.push(5e7);
            const once = await bench.interleave(await arms(bench, 5e7, bench.memory), 1);
            for (const [name, trial] of once) trials.set(name, trial);
        }
        const lines: Line[] = [];
        for (const what of ['load', 'models']) {
            for (const size of sizes) {
                const result = line(
                    'growth',
                    `${what} of ${size.toLocaleString('en')}`,
                    trials.get(`${what} ${size}`),
                    {
                        against: `${what} of ${sizes[1]!.toLocaleString('en')}, per reading`,
                        baseline: scaled(trials.get(`${what} ${sizes[1]}`)!, size / sizes[1]!),
                        goals: [{ of: 'wall_ratio', at_most: 1.3 }],
                        note: size === 5e7 ? `memory limit ${bench.memory}` : null,
                    },
                );
                if (result.wall_ms !== null) {
                    result.figure = { value: (1000 * result.wall_ms) / size, unit: 'us a reading' };
                }
                lines.push(result);
            }
        }
        return lines;
    },
} satisfies Stage;
